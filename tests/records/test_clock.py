"""Times when a clock was set back or forward."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillapp.records import Answer, PracticeLog, open_log
from drillapp.records.clock import FIRST_YEAR, effective

DAY = 86_400.0


def test_a_clock_that_runs_on_is_believed() -> None:
    assert effective([1.0, 2.0, 2.0, 5.0]) == [1.0, 2.0, 2.0, 5.0]


def test_a_clock_reset_to_1970_stands_still_until_it_is_set_right() -> None:
    assert effective([100.0, 101.0, 0.0, 1.0, 200.0]) == [100.0, 101.0, 101.0, 101.0, 200.0]


def test_a_day_far_ahead_is_not_believed_once_the_clock_is_right_again() -> None:
    assert effective([10.0, 11.0, 9999.0, 12.0]) == [10.0, 11.0, 9999.0, 9999.0]
    assert effective([10.0, 11.0, 9999.0, 12.0, 13.0]) == [10.0, 11.0, 11.0, 12.0, 13.0]


@given(st.lists(st.integers(0, 6).map(float), max_size=9))
def test_as_many_readings_as_possible_are_believed(readings: list[float]) -> None:
    times = effective(readings)
    assert times == sorted(times)
    kept = sum(time == reading for time, reading in zip(times, readings, strict=True))
    longest = max(
        size
        for size in range(len(readings) + 1)
        for run in combinations(readings, size)
        if list(run) == sorted(run)
    )
    assert kept >= longest


def test_a_clock_set_back_neither_reorders_nor_loses_answers(
    log: PracticeLog, answer: Callable[..., Answer]
) -> None:
    for number, day in enumerate([10, 11, 2, 3, 12]):
        log.append(answer(number, utc=day * DAY))
    answers = log.answers("ana")
    assert [one.id for one in answers] == [f"answer-{number:04}" for number in range(5)]
    assert [one.utc / DAY for one in answers] == [10, 11, 2, 3, 12]
    assert [one.when / DAY for one in answers] == [10, 11, 11, 11, 12]


def test_the_order_holds_while_the_clock_is_still_behind(path: Path, answer: Callable[..., Answer]) -> None:
    for number, day in enumerate([10, 11, 12, 2]):
        with open_log(path) as log:
            log.append(answer(number, utc=day * DAY))
    with open_log(path) as log:
        assert [one.when / DAY for one in log.answers("ana")] == [10, 11, 12, 12]
        assert len(log.observations("ana", since=11.5 * DAY)) == 2


@settings(max_examples=40, deadline=None)
@given(days=st.lists(st.integers(0, 9), min_size=1, max_size=12))
def test_times_found_one_by_one_are_those_found_at_once(
    tmp_path_factory: pytest.TempPathFactory, answer: Callable[..., Answer], days: list[int]
) -> None:
    with open_log(tmp_path_factory.mktemp("clock") / "log") as log:
        for number, day in enumerate(days):
            log.append(answer(number, utc=day * DAY))
        whens = [one.when for one in log.answers()]
    assert whens == effective([day * DAY for day in days])


YEAR = 365 * DAY


def test_answers_after_a_first_day_far_ahead_stand_on_their_own_day() -> None:
    ahead = [FIRST_YEAR + 13 * YEAR + 10.0 * number for number in range(50)]
    right = [FIRST_YEAR + YEAR + 10.0 * number for number in range(3)]
    for count in (1, 2, 3):
        times = effective([*ahead, *right[:count]])
        assert times[50:] == right[:count]
        assert times[:50] == [right[0]] * 50


def test_a_day_far_ahead_amid_a_month_holds_no_day_after_it() -> None:
    month = [FIRST_YEAR + day * DAY for day in range(30)]
    after = [FIRST_YEAR + 30 * DAY, FIRST_YEAR + 31 * DAY]
    times = effective([*month, FIRST_YEAR + 13 * YEAR, FIRST_YEAR + 13 * YEAR + 60, *after])
    assert times[:30] == month
    assert times[30:] == [month[-1], month[-1], *after]


def test_a_year_of_right_days_outweighs_one_sitting_set_years_back() -> None:
    year = [FIRST_YEAR + (400 + day) * DAY for day in range(0, 365, 2)]
    sitting = [FIRST_YEAR + 5 * DAY + number for number in range(40)]
    times = effective([*year, *sitting, year[-1] + DAY])
    assert times[: len(year)] == year
    assert set(times[len(year) : -1]) == {year[-1]}


@settings(max_examples=60, deadline=None)
@given(
    readings=st.lists(
        st.builds(
            lambda years, days, hours: FIRST_YEAR + years * YEAR + days * DAY + hours * 3600.0,
            st.sampled_from([-20, 0, 0, 2, 13]),
            st.integers(0, 3),
            st.integers(0, 2),
        ),
        min_size=1,
        max_size=9,
    )
)
def test_times_of_clocks_years_apart_found_one_by_one_are_those_found_at_once(
    tmp_path_factory: pytest.TempPathFactory, answer: Callable[..., Answer], readings: list[float]
) -> None:
    with open_log(tmp_path_factory.mktemp("clock") / "log") as log:
        for number, reading in enumerate(readings):
            log.append(answer(number, utc=reading))
        answers = log.answers()
    assert [one.id for one in answers] == [f"answer-{number:04}" for number in range(len(readings))]
    assert [one.when for one in answers] == effective(readings)


def test_a_log_whose_times_were_found_by_an_older_rule_finds_them_anew(
    path: Path, answer: Callable[..., Answer]
) -> None:
    readings = [FIRST_YEAR + 13 * YEAR, FIRST_YEAR + YEAR]
    with open_log(path) as log:
        for number, reading in enumerate(readings):
            log.append(answer(number, utc=reading))
        with log._store.writing() as connection:
            connection.execute("DELETE FROM times")
            connection.execute("INSERT INTO times VALUES (2, ?)", (readings[0],))
            connection.execute("DELETE FROM meta WHERE name = 'clock'")
    with open_log(path) as log:
        assert [one.when for one in log.answers()] == [readings[1], readings[1]]
