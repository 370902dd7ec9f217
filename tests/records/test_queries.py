"""What the app reads from the log: met patterns, evidence since a date, days, sessions."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillapp.records import Answer, FactorAnswer, PracticeLog, evidence_of, open_log

DAY = 86_400.0
NOON = 1_750_000_000.0 // DAY * DAY + DAY / 2


def test_met_patterns_are_each_learners_own(log: PracticeLog, answer: Callable[..., Answer]) -> None:
    log.append(answer(1, pattern="D- DU"))
    log.append(answer(2, pattern="D- DU"))
    log.append(answer(3, pattern="D- D-"))
    log.append(answer(4, pattern="X- X-", learner="bo"))
    assert log.met("ana") == {"D- DU", "D- D-"}
    assert log.met("bo") == {"X- X-"}
    assert log.met("cy") == set()


def test_a_candidate_that_was_only_shown_is_met_in_the_wider_sense(
    log: PracticeLog, answer: Callable[..., Answer]
) -> None:
    log.append(answer(1, pattern="D- DU", candidates=("D- DU", "D- -U")))
    assert log.met("ana") == {"D- DU"}
    assert log.met("ana", shown=True) == {"D- DU", "D- -U"}
    log.append(answer(2, pattern="D- -U", candidates=("D- DU", "D- -U")))
    assert log.met("ana") == {"D- DU", "D- -U"}


def test_observations_are_the_evidence_of_the_answers(
    log: PracticeLog, answer: Callable[..., Answer]
) -> None:
    tie = FactorAnswer("2", ("tie", "skip"), "tied on", None, False, 0.5, True)
    rest = FactorAnswer("3", ("rest",), "silent", "silent", True, 0.5, True)
    log.append(answer(0, utc=100.0, factors=(tie, rest)))
    log.append(answer(1, utc=50.0, pick=None))
    log.append(answer(2, utc=200.0, drill="strum", candidates=(), pick=None, written=None))
    expected = [seen for one in log.answers("ana") for seen in evidence_of(one)]
    assert log.observations("ana") == expected
    assert [seen.time for seen in expected] == [100.0, 100.0, 100.0, 200.0]


@settings(max_examples=10, deadline=None)
@given(days=st.lists(st.integers(0, 12), max_size=14), since=st.integers(0, 13))
def test_since_is_a_filter_of_the_whole(
    tmp_path_factory: pytest.TempPathFactory, answer: Callable[..., Answer], days: list[int], since: int
) -> None:
    with open_log(tmp_path_factory.mktemp("since") / "log") as log:
        for number, day in enumerate(days):
            log.append(answer(number, utc=day * DAY))
        whole = log.observations("ana")
        assert log.observations("ana", since * DAY) == [seen for seen in whole if seen.time >= since * DAY]
        assert log.answers(since=since * DAY) == tuple(
            one for one in log.answers() if one.when >= since * DAY
        )


def test_days_are_the_learners_own_dates(log: PracticeLog, answer: Callable[..., Answer]) -> None:
    # 23:30 UTC on 14 June 2025 is the 15th in Berlin (UTC+2) and still the 14th in Accra (UTC) and New York.
    late = 1_749_943_800.0
    for number, offset in enumerate((120, 120, 0, -240)):
        log.append(answer(number, utc=late, offset=offset))
    assert log.days("ana") == {date(2025, 6, 14): 2, date(2025, 6, 15): 2}
    assert [one.day for one in log.answers()].count(date(2025, 6, 15)) == 2


def test_days_come_in_order_and_count_all(log: PracticeLog, answer: Callable[..., Answer]) -> None:
    for number, day in enumerate((3, 1, 1, 2)):
        log.append(answer(number, utc=NOON + day * DAY))
    days = log.days("ana")
    assert list(days) == sorted(days)
    assert sum(days.values()) == 4


def test_a_session_cut_off_is_found_with_its_plan_and_its_answers(
    path: Path, answer: Callable[..., Answer]
) -> None:
    plan = {"questions": 12, "features": ["tie", "rest"], "seed": 7}
    with open_log(path) as log:
        assert log.sessions.unfinished("ana") == ()
        log.sessions.begin("session-1", "ana", NOON, plan)
        for number in range(5):
            log.append(answer(number))
    with open_log(path) as log:
        (found,) = log.sessions.unfinished("ana")
        assert (found.id, found.plan, found.answered, found.started) == ("session-1", plan, 5, NOON)
        assert log.sessions.unfinished("bo") == ()
        log.sessions.end("session-1", NOON + 300)
        assert log.sessions.unfinished("ana") == ()
        last = log.sessions.last("ana")
        assert last is not None
        assert last.ended == NOON + 300


def test_unfinished_sessions_come_in_the_order_in_which_they_began(log: PracticeLog) -> None:
    log.sessions.begin("one", "ana", NOON)
    # The clock was set back between the two.
    log.sessions.begin("two", "ana", NOON - DAY)
    assert [session.id for session in log.sessions.unfinished("ana")] == ["two", "one"]
    log.sessions.end("two", NOON)
    assert [session.id for session in log.sessions.unfinished("ana")] == ["one"]


def test_a_session_begins_once(log: PracticeLog) -> None:
    log.sessions.begin("one", "ana", NOON)
    with pytest.raises(ValueError, match="already"):
        log.sessions.begin("one", "bo", NOON)


def test_local_time_needs_no_zone_of_this_machine(
    answer: Callable[..., Answer], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = answer().local
    monkeypatch.setenv("TZ", "Pacific/Kiritimati")
    time.tzset()
    assert answer().local == before
    assert answer().local.utcoffset() == before.utcoffset()
    monkeypatch.undo()
    time.tzset()
