"""The plan as it is shown and kept: numbers by arithmetic, and what is refused from disk."""

from __future__ import annotations

import pytest

from drillapp.drills.plan import Item, Plan, Reason
from drillapp.learning import Planner, expect
from drillapp.music import FEATURES
from drillapp.practice.plan import Begun, PlanLine, costs_of, lines_of, questions_in, weightiest

TIE, SKIP, FRESH = Item(("tie", "skip"), "repair"), Item(("skip",), "refresh"), Item(("tie",), "fresh")
PLAN = Plan((TIE, SKIP, FRESH, TIE), ("skip", "tie"))


def test_ten_minutes_are_thirteen_questions_of_the_usual_45_seconds() -> None:
    assert questions_in(10, []) == 13  # 600 s / 45 s = 13.3
    assert questions_in(20, []) == 27  # 1200 s / 45 s = 26.7
    assert questions_in(10, [8.0] * 9) == 13  # nine answers are too few to go by


def test_ten_answers_say_how_long_a_question_takes() -> None:
    assert questions_in(10, [18.0] * 10) == 20  # 600 s / (18 s + 12 s for the look at the answer)


def test_only_the_last_sixty_answers_count() -> None:
    assert questions_in(10, [28.0] * 100 + [18.0] * 60) == 20
    assert questions_in(10, [18.0] * 60 + [28.0] * 60) == 15  # 600 / (28 + 12)
    # 31 of the last 60 are quick, whatever came before
    assert questions_in(10, [28.0] * 1000 + [28.0] * 29 + [18.0] * 31) == 20


def test_very_quick_and_very_slow_answers_are_taken_for_20_and_120_seconds() -> None:
    assert questions_in(10, [1.0] * 10) == 30
    assert questions_in(20, [500.0] * 10) == 10
    assert questions_in(59.2, [500.0] * 10) == 30  # 3552 / 120 = 29.6


def test_a_drill_has_6_to_60_questions() -> None:
    assert questions_in(1, []) == 6
    assert questions_in(60, [1.0] * 10) == 60
    assert (questions_in(5, []), questions_in(4, [])) == (7, 6)  # 300 / 45 = 6.7; 240 / 45 = 5.3


def test_seven_answers_do_not_say_what_a_sign_costs_and_eight_do() -> None:
    assert costs_of([("tie", 8.0)] * 7) == {}
    assert costs_of([("tie", 8.0)] * 8) == {"tie": 1.0}


def test_a_sign_costs_at_least_half_of_the_usual() -> None:
    # (0 + 12) / (36 + 12) would be a quarter
    assert costs_of([("tie", 0.0)] * 8 + [("beat", 36.0)] * 20)["tie"] == 0.5


def test_lines_count_the_questions_under_them_and_fresh_ones_stand_last() -> None:
    planner = Planner(FEATURES)
    found = [(line.feature, line.why, line.count) for line in lines_of(PLAN, planner, 0.0)]
    assert found == [("tie", "repair", 2), ("skip", "refresh", 1), ("fresh", "fresh", 1)]
    many_fresh = Plan((FRESH, FRESH, SKIP), ("skip", "tie"))
    assert [line.feature for line in lines_of(many_fresh, planner, 0.0)] == ["skip", "fresh"]


def test_the_weightiest_lines_are_shown_in_their_order_and_the_other_signs_counted() -> None:
    def line(feature: str, why: str, count: int) -> PlanLine:
        return PlanLine(feature, why, count, Reason(why, feature))

    tie, rest, again = line("tie", "repair", 5), line("rest", "refresh", 1), line("tie", "refresh", 1)
    mute, skip, fresh = line("mute", "reach", 3), line("skip", "repair", 2), line("fresh", "fresh", 1)
    lines = (tie, mute, skip, rest, again, fresh)
    assert weightiest(lines, 4) == ((tie, mute, skip, fresh), {"rest"})  # ties stand there already
    assert weightiest(lines, 6) == (lines, frozenset())


def test_a_lines_reason_carries_the_numbers_of_now() -> None:
    planner = Planner(("tie", "skip"))
    for _ in range(3):
        planner.memory.observe(("tie",), False, 100.0)
    tie, skip, fresh = lines_of(PLAN, planner, 100.0 + 86_400)
    expected = expect(planner.memory, "tie", 100.0 + 86_400)
    assert tie.reason == Reason("repair", "tie", expected, 86_400.0) and expected.count == 3
    assert (skip.reason.since, skip.reason.expected.count) == (None, 0)
    assert fresh.reason == Reason("fresh", "fresh")
    (back, *_) = lines_of(PLAN, planner, 40.0)
    assert back.reason.since == 0.0  # a clock set back


@pytest.mark.parametrize(
    "begun",
    [
        Begun(4, plan=PLAN),
        Begun(4, deck="ties", plan=PLAN),
        Begun(4, pattern=True, plan=PLAN),
        Begun(20, check=True),
        Begun(1),
        Begun(200),
    ],
)
def test_what_was_begun_comes_back_from_disk(begun) -> None:
    assert Begun.from_dict(begun.to_dict()) == begun


def test_rows_of_earlier_versions_can_be_read() -> None:
    assert Begun.from_dict({"count": 13, "deck": None, "pattern": False}) == Begun(13)
    assert Begun.from_dict({"count": 12, "deck": "ties", "pattern": False}) == Begun(12, deck="ties")
    assert Begun.from_dict({"count": 20, "check": True}) == Begun(20, check=True)


def test_only_a_drill_of_no_deck_pattern_or_check_is_todays() -> None:
    assert Begun(12).drill
    assert not any(one.drill for one in (Begun(12, deck="a"), Begun(12, pattern=True), Begun(12, check=True)))


@pytest.mark.parametrize(
    ("value", "why"),
    [
        ({}, "count is a whole number from 1 to 200, not None"),
        ({"count": 0}, "not 0"),
        ({"count": 201}, "not 201"),
        ({"count": True}, "not True"),
        ({"count": 4.0}, "not 4.0"),
        ({"count": 4, "deck": 3}, "deck is a name or null, not 3"),
        ({"count": 4, "pattern": 1}, "pattern and check are true or false"),
        ({"count": 4, "check": None}, "pattern and check are true or false"),
        ({"count": 4, "stars": 5}, "'stars' is not part of a plan"),
        ({"count": 3, "plan": PLAN.to_dict()}, "the plan has 4 questions where count is 3"),
        ({"count": 4, "plan": None}, "a plan is an object with open and items"),
    ],
)
def test_anything_else_is_refused_with_what_is_wrong(value, why) -> None:
    with pytest.raises(ValueError, match=why):
        Begun.from_dict(value)
