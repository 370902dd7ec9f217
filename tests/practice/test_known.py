"""What is kept up answer by answer is what the log would give; no screen's figure of a sign differs."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

import pytest
from weeks import DAY, Reader, answer, days, opened

from drillapp.practice.known import Known
from drillapp.practice.practice import Practice
from drillapp.practice.standing import progress_of, readings_of
from drillapp.practice.tally import Tally
from drillapp.records import Entry
from drillapp.records.spent import LOOK_SECONDS, SLOWEST
from drillapp.words import checks
from drillapp.words.plan import why_there
from drillapp.words.standing import ahead, expected_today, figure, reads_about

PICKS = ("page_to_sound", "sound_to_page")
HANDS = ("strum_it", "write_it_down")
START = 1_790_000_000.0


def entry(when: float, *, feature: str = "tie", seconds: float = 5.0, right: bool = True) -> Entry:
    sign = ((feature,), "tied on", "tied on" if right else "struck", right, 0.5)
    return Entry(when, 0, "D- DU -U DU", 90.0, ("staff",), True, True, seconds, (feature,), (_sign(*sign),))


def _sign(*given: object):
    from drillapp.records.entries import SignEntry

    return SignEntry(*given)


def compared(known: Known, now: float) -> tuple[object, ...]:
    tally = known.tally
    return (
        tally.answers,
        tally.cells,
        tally.mixes,
        tally.lately(now),
        tally.days(_day(now), 84),
        known.rows,
        known.course(now),
        readings_of(known, now),
        progress_of(known, now),
    )


def _day(now: float):
    from datetime import datetime

    return datetime.fromtimestamp(now).astimezone().date()


@pytest.mark.parametrize(("number", "drills", "count"), [(0, HANDS, 5), (3, PICKS, 2)])
def test_what_is_kept_up_is_what_the_log_gives(tmp_path: Path, number: int, drills, count: int) -> None:
    clock, reader = [START], Reader.drawn(number)
    held = opened(tmp_path, clock, drills, number)
    held.change("minutes", 2)
    for _ in days(held, clock, reader, count):
        again = Practice(held.log, held.decks, held.faults, lambda: clock[0], number)
        assert again.known is not held.known
        assert compared(again.known, clock[0]) == compared(held.known, clock[0])
    assert held.known.tally.answers == held.log.count(held.learner.id) > 0


def test_answers_that_something_else_wrote_are_taken_in(tmp_path: Path) -> None:
    clock, reader = [START], Reader.drawn(1)
    held = opened(tmp_path, clock, PICKS)
    held.change("minutes", 2)
    before = held.known
    assert held.today() and held.known is before
    other = Practice(held.log, held.decks, held.faults, lambda: clock[0], 5)
    sitting = other.start()
    answer(sitting, sitting.next(), reader, clock[0])
    assert any(reading.expected.count for reading in held.today().readings)
    assert held.known is not before


def test_an_answer_that_is_taken_out_leaves_nothing_behind() -> None:
    one, two = Tally(), Tally()
    first, second = entry(START), entry(START + 9, feature="rest", right=False)
    for tally in (one, two):
        tally.add(first)
    two.add(second)
    assert one != two
    two.take_out(second)
    assert one == two


def test_a_helped_answer_counts_for_its_day_alone() -> None:
    plain, helped = Tally(), Tally()
    plain.add(entry(START))
    helped.add(entry(START)._replace(helped=True))
    assert helped.days(_day(START), 1) == plain.days(_day(START), 1)
    assert not helped.cells and not helped.mixes and not helped.lately(START)
    assert plain.cells and plain.mixes and plain.lately(START)


def test_a_days_minutes_are_answers_with_a_look_at_each_and_without_pauses() -> None:
    tally = Tally()
    for number, seconds in enumerate((18.0, 48.0, 5000.0)):
        tally.add(entry(START + number, seconds=seconds))
    day = _day(START).fromtimestamp(START)
    before, today = tally.days(day, 2)
    # 18 + 12 and 48 + 12 seconds, and a pause that counts as two minutes at most
    assert (LOOK_SECONDS, SLOWEST) == (12.0, 120.0)
    assert (today.questions, today.minutes) == (3, (30 + 60 + 120) / 60)
    assert (before.day, before.questions, before.minutes) == (day - timedelta(1), 0, 0.0)


def test_a_month_of_answers_says_how_long_a_question_takes() -> None:
    tally = Tally()
    for day in (0, 10, 29.9, 31):
        tally.add(entry(START + day * DAY, seconds=day))
    assert tally.lately(START + 31 * DAY) == [("tie", 10), ("tie", 29.9), ("tie", 31)]
    assert tally.lately(START + 45 * DAY) == [("tie", 29.9), ("tie", 31)]


@pytest.mark.parametrize(("number", "drills", "visits"), [(0, HANDS, 14), (2, HANDS, 14), (1, PICKS, 2)])
def test_every_screen_tells_the_same_of_a_sign_over_months(
    tmp_path: Path, number: int, drills, visits: int
) -> None:
    """A drill every fifth day, for ten weeks by hand; all that screens are given, in numbers and words."""
    clock, reader = [START], Reader.drawn(number)
    held = opened(tmp_path, clock, drills, number)
    held.change("minutes", 2)
    told = set()
    for visit in range(visits):
        clock[0] = START + visit * 5 * DAY
        today, progress = held.today(), held.progress()
        truth = {one.feature: one.expected for one in today.readings}
        assert [one.reading for one in progress] == list(today.readings)
        for one in progress:
            if one.ahead is not None:
                assert one.ahead.today == truth[one.feature]
                figures = re.findall(r"about (\d+)", ahead(one.ahead))
                assert bool(figures) == one.ahead.differs and len(set(figures)) == len(figures)
            assert (figure(truth[one.feature]) == "") == (not truth[one.feature].known)
            assert _ten(expected_today(truth[one.feature])) == _ten(reads_about(truth[one.feature]))
        for line in today.lines:
            if line.reason.expected is not None:
                assert line.reason.expected == truth[line.feature]
                said = why_there(line.reason)
                told.add(line.why)
                if line.why == "repair":
                    assert said.endswith(reads_about(truth[line.feature]))
        sitting = held.start()
        while (task := sitting.next()) is not None:
            answer(sitting, task, reader, clock[0])
            clock[0] += 40
        after = {one.feature: one.expected for one in held.today().readings}
        assert sitting.expected() == after
        for line in sitting.summary().lines:
            assert line.after == after[line.feature]
            assert not line.better or line.before.tenths < line.after.tenths
    assert "repair" in told or number != 2


def test_a_finding_gives_the_figures_of_today(tmp_path: Path) -> None:
    clock = [START]
    held = opened(tmp_path, clock, HANDS)
    check = held.start_check()
    for _ in range(3):
        task = check.next()
        assert task is not None
        check.answer(task, None, 15.0)
        clock[0] += 30
    assert check.check is not None
    assert checks.finding_sentence(check.check.finding()).startswith("No sign was read right")
    assert check.expected() == {one.feature: one.expected for one in held.today().readings}


def _ten(said: str) -> list[str]:
    return re.findall(r"about (\d+) in 10", said)
