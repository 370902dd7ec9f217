"""How a learner stands: tables by arithmetic from a handful of answers.

Wilson's interval and the correction for guessing are checked against statsmodels in tests/learning; here it
is which answers go into which number.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone

import pytest

from drillapp.learning import Expected, Memory, Planner, corrected, expect
from drillapp.music import FEATURES
from drillapp.practice.known import MOST_DAYS, Known
from drillapp.practice.standing import (
    Confusion,
    Reading,
    counted,
    in_order_of_need,
    progress_of,
    readings_of,
)
from drillapp.records import Answer, FactorAnswer, evidence_of

NOON = datetime(2026, 3, 2, 12, tzinfo=timezone.utc).timestamp()
DAY = 86_400.0
TIE = ("tie", "beat", "skip")


def answered(
    *right: bool | None,
    features: tuple[str, ...] = TIE,
    day: float = 0,
    first_seen: bool = True,
    guess: float = 0.5,
    written: str = "tied on",
    read: str = "struck",
) -> list[Answer]:
    """One answer for each: right, wrong, or None for Not sure."""
    found = []
    for number, one in enumerate(right):
        factor = FactorAnswer(
            "2", features, written, None if one is None else written if one else read, bool(one), guess, True
        )
        found.append(
            Answer(
                learner="ana",
                session="session",
                utc=NOON + day * DAY + number,
                offset=0,
                drill="page_to_sound",
                pattern="D- DU -U DU",
                meter="4/4",
                tempo=90.0,
                layers=("letters", "staff"),
                candidates=("D- DU -U DU", "D- DU DU DU"),
                pick=None if one is None else 0 if one else 1,
                written=0,
                factors=(factor,),
                first_seen=first_seen,
            )
        )
    return found


def known_of(answers: list[Answer], builds_on: dict[str, tuple[str, ...]] | None = None) -> Known:
    known = Known("ana", Planner(FEATURES, memory=Memory(FEATURES), builds_on=builds_on or {}))
    for answer in sorted(answers, key=lambda answer: answer.when):
        known.add(answer)
        for one in evidence_of(answer):
            known.planner.memory.observe(one.features, one.correct, one.time, one.guess)
    return known


def progress(answers: list[Answer], feature: str = "tie"):
    (found,) = (one for one in progress_of(known_of(answers), NOON + 90 * DAY) if one.feature == feature)
    return found


def counts(answers: list[Answer], feature: str = "tie"):
    return progress(answers, feature).first_seen


def reading(answers: list[Answer], feature: str = "tie"):
    (found,) = (one for one in readings_of(known_of(answers), NOON + 1000) if one.feature == feature)
    return found


def test_accuracy_is_corrected_by_the_mean_guess_rate() -> None:
    # 9 of 12 right at a guess rate of 0.5: (0.75 - 0.5) / 0.5
    found = counts(answered(*[True] * 9, *[False] * 3))
    assert found.count == 12
    assert found.middle == pytest.approx(0.5)
    assert found.low < 0.5 < found.high


def test_guess_rates_of_different_questions_are_averaged() -> None:
    # 6 at 1/2 and 6 at 1/4: 3/8; 9 of 12: (0.75 - 0.375) / 0.625
    found = counts([*answered(*[True] * 6), *answered(*[True] * 3, *[False] * 3, guess=0.25)])
    assert found.middle == pytest.approx(0.6)


def test_who_says_not_sure_has_not_guessed() -> None:
    # 6 right of 12, 4 Not sure: guess rate 8/12 * 0.5 = 1/3; (1/2 - 1/3) / (2/3) = 1/4
    answers = answered(*[True] * 6, *[False] * 2, *[None] * 4)
    assert [one.sure for answer in answers for one in evidence_of(answer)] == [True] * 8 + [False] * 4
    found = counts(answers)
    assert found.middle == pytest.approx(0.25)
    assert found.low == pytest.approx(corrected(6, 12, 1 / 3).low)
    assert found.high == pytest.approx(corrected(6, 12, 1 / 3).high)


def test_a_sign_without_answers_could_be_anything() -> None:
    found = counts(answered(True), "triplet")
    assert (found.count, found.right, found.low, found.high) == (0, 0, 0.0, 1.0)
    assert not reading(answered(True), "triplet").weak
    assert not reading(answered(True), "triplet").expected.known


def test_counts_keep_patterns_never_seen_and_met_before_apart() -> None:
    answers = [*answered(True, True), *answered(False, False, False, first_seen=False)]
    found = progress(answers)
    assert (found.first_seen.right, found.met_before.right) == (2, 0)
    assert (found.first_seen.count, found.met_before.count) == (2, 3)
    assert found.first_seen.middle == pytest.approx(1.0)
    assert found.met_before.middle == pytest.approx(0.0)


def test_a_tie_that_is_misread_is_no_beat_and_no_skip_misread() -> None:
    answers = [*answered(False), *answered(True, features=("skip", "offbeat"))]
    assert (counts(answers, "beat").count, counts(answers, "skip").count) == (0, 1)
    assert counts(answers, "offbeat").count == 1
    assert counted(("beat",)) == ("beat",)
    assert counted(("tie", "mute", "beat")) == ("tie", "mute")


def test_signs_are_told_in_the_order_of_the_course() -> None:
    known = known_of(answered(True))
    assert tuple(one.feature for one in readings_of(known, NOON)) == FEATURES
    assert tuple(one.feature for one in progress_of(known, NOON)) == FEATURES


def test_open_is_what_was_practised_or_may_be() -> None:
    known = known_of(answered(True), {"mute": ("accent",)})
    found = {one.feature: one.opened for one in readings_of(known, NOON)}
    assert found["tie"] and found["accent"] and not found["mute"]


def test_weak_signs_come_first_then_the_planned_then_the_least_well_read() -> None:
    def one(feature: str, middle: float, opened: bool = True, weak: bool = False) -> Reading:
        return Reading(feature, opened, weak, Expected(feature, middle - 0.1, middle, middle + 0.05, 9))

    readings = [one("beat", 0.9), one("skip", 0.8), one("tie", 0.7, weak=True), one("rest", 0.85)]
    found = in_order_of_need([*readings, one("swing", 0.3, opened=False)], ["beat"])
    assert [reading.feature for reading in found] == ["tie", "beat", "skip", "rest"]


def test_a_weak_sign_is_called_weak() -> None:
    answers = [
        *answered(*[False] * 40),
        *answered(*[True] * 60, features=("mute",)),
        *answered(*[True] * 60, features=("accent",)),
    ]
    assert reading(answers).weak and progress(answers).reading.weak
    assert not reading(answers, "mute").weak


def test_the_course_has_what_was_expected_at_the_end_of_each_day() -> None:
    answers = [*answered(False), *answered(True, True, day=6)]
    memory = Memory(FEATURES)
    ends = []
    for day in (answers[:1], answers[1:]):
        for answer in day:
            for one in evidence_of(answer):
                memory.observe(one.features, one.correct, one.time, one.guess)
        ends.append(expect(memory, "tie", day[-1].when))
    course = progress(answers).course
    assert [end.day for end in course] == [date(2026, 3, 2), date(2026, 3, 8)]
    assert [end.expected["tie"] for end in course] == ends
    assert progress(answers, "triplet").course == ()


def test_the_course_keeps_the_last_sixty_days_with_answers() -> None:
    answers = [one for day in range(62) for one in answered(True, day=day)]
    course = progress(answers).course
    assert len(course) == MOST_DAYS == 60
    assert course[-1].day == date(2026, 3, 2) + timedelta(61)


def test_what_was_taken_for_what_is_counted_of_all_that_were_shown() -> None:
    answers = [
        *answered(True, True, False, False, None),
        *answered(False, read="silent"),
        *answered(True, written="silent"),
    ]
    assert progress(answers).confusions == (
        Confusion("tied on", "struck", 2, 6),
        Confusion("tied on", "silent", 1, 6),
    )
    assert progress(answers, "beat").confusions == ()


def test_the_four_commonest_misreadings_are_told() -> None:
    answers = [
        one
        for number, way in enumerate(("a", "b", "c", "d", "e"))
        for one in answered(*[False] * (5 - number), read=way)
    ]
    assert [one.read for one in progress(answers).confusions] == ["a", "b", "c", "d"]


def test_expected_is_the_memorys_own_belief() -> None:
    answers = answered(True, False, True)
    known = known_of(answers)
    belief = known.planner.memory.belief("tie", NOON + 90 * DAY)
    found = progress(answers).reading.expected
    assert (found.low, found.middle, found.high) == (belief.low, belief.mean, belief.high)
    assert (found.count, found.last) == (3, answers[-1].when)
