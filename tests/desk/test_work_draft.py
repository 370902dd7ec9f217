"""Set work changed by hand stays within its bounds. The bounds: records/set_work.py; our own."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from drillapp.desk import work_draft as draft
from drillapp.records import SetWork
from drillapp.records.set_work import FASTEST_PACE, FEWEST_MINUTES, MOST_MINUTES, SLOWEST_PACE

TODAY = date(2026, 11, 3)
WORK = SetWork("Tuesday group", 0.0, TODAY, 10)


def test_minutes_end_at_the_most_and_below_the_fewest_in_each_learners_own() -> None:
    assert draft.minutes_stepped(replace(WORK, minutes=MOST_MINUTES), 1).minutes == MOST_MINUTES
    none = draft.minutes_stepped(replace(WORK, minutes=FEWEST_MINUTES), -1)
    assert none.minutes is None and draft.minutes_stepped(none, -1) == none
    assert draft.minutes_stepped(none, 1).minutes == FEWEST_MINUTES


def test_the_tempo_ends_at_the_fastest_and_below_the_slowest_in_each_learners_own() -> None:
    assert draft.pace_stepped(replace(WORK, pace=FASTEST_PACE), 1).pace == FASTEST_PACE
    assert draft.pace_stepped(replace(WORK, pace=SLOWEST_PACE), -1).pace is None
    assert draft.pace_stepped(WORK, 1).pace == 1.0 and draft.pace_stepped(WORK, -1).pace == 0.95


def test_the_last_day_is_never_in_the_past() -> None:
    assert draft.days_stepped(WORK, -1, TODAY).until == TODAY
    assert draft.days_stepped(WORK, 7, TODAY).until == TODAY + timedelta(days=7)


def test_signs_and_decks_are_switched_and_stand_in_order() -> None:
    both = draft.switched(draft.switched(WORK, "signs", "rest"), "signs", "tie")
    assert both.signs == ("tie", "rest") and draft.switched(both, "signs", "tie").signs == ("rest",)
    assert draft.switched(WORK, "decks", "b", ["a", "b"]).decks == ("b",)
    assert draft.switched(WORK, "layers", "staff").layers == ("staff",)


def test_a_note_is_one_line_and_not_too_long() -> None:
    assert draft.noted(WORK, " Slowly,\n please ").note == "Slowly, please"
    with pytest.raises(ValueError, match="0 to 500 characters"):
        draft.noted(WORK, "x" * 501)
    assert draft.file_name(WORK) == "Tuesday-group-2026-11-03.setwork"
