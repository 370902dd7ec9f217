"""What is named weak, of planted students: nobody falsely, and who is weak nearly always."""

from __future__ import annotations

from collections.abc import Callable

from scipy.stats import binomtest

from drillapp.desk.counts import count
from drillapp.desk.findings import find_weak, find_weak_in_class, missing
from drillapp.records import Entry

Planted = Callable[..., list[Entry]]


def test_the_weak_sign_of_a_month_is_named_in_98_of_100(planted: Planted) -> None:
    named = sum(find_weak(count(planted(seed, ["tie"]))).weak == ("tie",) for seed in range(100))
    assert named >= 98


def test_both_of_two_weak_signs_are_named_in_90_of_100(planted: Planted) -> None:
    both = (set(find_weak(count(planted(seed, ["tie", "rest"]))).weak) for seed in range(100))
    assert sum(found == {"tie", "rest"} for found in both) >= 90


def test_nothing_is_named_in_95_of_100_sound_students(planted: Planted) -> None:
    assert sum(not find_weak(count(planted(1000 + seed))).weak for seed in range(100)) >= 95


def test_no_more_than_one_sound_class_of_thirty_in_twenty_shows_any_false_name(planted: Planted) -> None:
    # two days of answers each: the fewer they are, the more chance there is in them
    classes = [{str(n): count(planted(5000 + 30 * k + n, days=2)) for n in range(30)} for k in range(20)]
    false = sum(any(one.weak for one in find_weak_in_class(students).values()) for students in classes)
    # consistent with the stated rate (one-sided exact binomial test; Clopper and Pearson 1934)
    assert binomtest(false, 20, 0.05, alternative="greater").pvalue > 0.05


def test_in_a_class_each_student_needs_more_evidence_than_alone(planted: Planted) -> None:
    alone = {n: count(planted(n, ["tie"], days=6)) for n in range(30)}
    together = {n: one.weak for n, one in find_weak_in_class({str(n): c for n, c in alone.items()}).items()}
    by_themselves = {str(n): find_weak(one).weak for n, one in alone.items()}
    assert all(set(together[n]) <= set(by_themselves[n]) for n in together)
    assert sum(map(bool, together.values())) < sum(map(bool, by_themselves.values()))


def test_what_is_missing_grows_less_with_answers(planted: Planted) -> None:
    few = missing(find_weak(count(planted(4, ["tie"], days=2))))
    more = missing(find_weak(count(planted(4, ["tie"], days=20))))
    assert few.get("tie", 0) > 0
    assert "tie" not in more
