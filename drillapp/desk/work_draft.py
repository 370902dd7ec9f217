"""Set work as a teacher changes it by hand before it is given: step by step, never out of its bounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Literal

from drillapp.music import FEATURES, LAYERS
from drillapp.records import SetWork
from drillapp.records.set_work import (
    ENDING,
    FASTEST_PACE,
    FEWEST_MINUTES,
    MOST_DECKS,
    MOST_MINUTES,
    SLOWEST_PACE,
)

PACE_STEP = 0.05
LONGEST_DAYS = 366

Kind = Literal["signs", "decks", "layers"]


def minutes_stepped(work: SetWork, by: int) -> SetWork:
    """So many minutes a day more; below the fewest stands the learner's own."""
    if work.minutes is None:
        return replace(work, minutes=FEWEST_MINUTES) if by > 0 else work
    new = work.minutes + by
    return replace(work, minutes=None if new < FEWEST_MINUTES else min(new, MOST_MINUTES))


def pace_stepped(work: SetWork, by: int) -> SetWork:
    """A step faster or slower than written; below the slowest stands the learner's own."""
    if work.pace is None:
        return replace(work, pace=1.0 if by > 0 else 1.0 - PACE_STEP)
    new = round(work.pace + by * PACE_STEP, 2)
    return replace(work, pace=None if new < SLOWEST_PACE else min(new, FASTEST_PACE))


def days_stepped(work: SetWork, by: int, today: date) -> SetWork:
    """So many days longer; at the least until today."""
    last = today + timedelta(days=LONGEST_DAYS)
    return replace(work, until=min(max(work.until + timedelta(days=by), today), last))


def switched(work: SetWork, kind: Kind, name: str, order: Sequence[str] = ()) -> SetWork:
    """With a sign, deck or layer more or less; those chosen stand in the order of all."""
    known = {"signs": FEATURES, "layers": LAYERS, "decks": tuple(order)}[kind]
    chosen = set(getattr(work, kind)) ^ {name}
    kept = tuple(one for one in known if one in chosen)
    if kind == "decks" and len(kept) > MOST_DECKS:
        return work
    if kind == "signs":
        return replace(work, signs=kept)
    return replace(work, decks=kept) if kind == "decks" else replace(work, layers=kept)


def noted(work: SetWork, note: str) -> SetWork:
    """With a line from the teacher. Raises ValueError where it is too long."""
    return replace(work, note=" ".join(note.split()))


def file_name(work: SetWork) -> str:
    """What its file is called."""
    stem = "".join(letter if letter.isalnum() else "-" for letter in work.whose).strip("-") or "work"
    return f"{stem}-{work.until.isoformat()}{ENDING}"
