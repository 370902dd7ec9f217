"""Time played along is kept as sessions of its own kind: no questions, told by day."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from drillapp.practice.tally import DayCount, with_played
from drillapp.records import open_log


def test_time_played_along_is_kept_by_learner_and_left_out_of_what_can_be_taken_up(tmp_path: Path) -> None:
    with open_log(tmp_path / "log.db") as log:
        log.sessions.begin("drill", "ana", 500.0, {"count": 9, "title": "play along"})
        log.sessions.note_play("p1", "ana", 1000.0, 1300.0, {"pattern": "D D D D"})
        log.sessions.note_play("p2", "ana", 2000.0, 2060.0, {"pattern": "D D D D"})
        log.sessions.note_play("p3", "bo", 1500.0, 1560.0, {"pattern": "D D D D"})
        assert log.sessions.played("ana") == ((1000.0, 1300.0), (2000.0, 2060.0))
        assert log.sessions.played("ana", since=1500.0) == ((2000.0, 2060.0),)
        assert log.sessions.played("cy") == ()
        assert [row.id for row in log.sessions.unfinished("ana")] == ["drill"]
    with open_log(tmp_path / "log.db") as log:
        assert len(log.sessions.played("ana")) == 2, "it is on disk"


def test_minutes_played_are_added_to_the_day_they_began_on() -> None:
    noon = datetime(2026, 3, 2, 12).timestamp()
    days = (DayCount(date(2026, 3, 1), 4, 2.5), DayCount(date(2026, 3, 2), 10, 8.0))
    played = ((noon, noon + 90), (noon + 600, noon + 660), (noon - 10 * 86400, noon))
    assert with_played(days, played) == (days[0], DayCount(date(2026, 3, 2), 10, 8.0 + 2.5))
