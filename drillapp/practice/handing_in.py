"""What a learner hands in: which answers, under which name, in which file.

Conventions: days are this device's; a time from ``first`` to ``last`` holds both days, None leaves it open.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from drillapp.records import HandIn, PracticeLog

ENDING = ".handin"
LONGEST_STEM = 40


@dataclass(frozen=True)
class Held:
    """What a file would hold: how many answers, and the days of the first and the last."""

    answers: int
    first: date | None = None
    last: date | None = None


def held(log: PracticeLog, learner: str, first: date | None = None, last: date | None = None) -> Held:
    """What the file of a learner and a time would hold."""
    answers, begin, end = log.span(learner, *_within(first, last))
    return Held(answers, _day(begin), _day(end)) if answers else Held(0)


def write(
    log: PracticeLog,
    learner: str,
    path: Path,
    first: date | None = None,
    last: date | None = None,
    pen_name: str = "",
) -> HandIn:
    """Write the file. Raises HandInError where it cannot be written, ValueError for a name that is none."""
    since, until = _within(first, last)
    return log.hand_in(path, learner, since=since, until=until, called=pen_name.strip() or None)


def file_in(folder: Path, name: str, day: date) -> Path:
    """Where the file goes: named by learner and day, with a number where such a file is there already."""
    stem = re.sub(r"[^\w-]+", "-", name).strip("-")[:LONGEST_STEM] or "learner"
    path, number = folder / f"{stem}-{day.isoformat()}{ENDING}", 2
    while path.exists():
        path, number = folder / f"{stem}-{day.isoformat()}-{number}{ENDING}", number + 1
    return path


def _within(first: date | None, last: date | None) -> tuple[float | None, float | None]:
    begin = None if first is None else _midnight(first)
    return begin, None if last is None else _midnight(last + timedelta(days=1))


def _midnight(day: date) -> float:
    return datetime(day.year, day.month, day.day).astimezone().timestamp()


def _day(utc: float) -> date:
    return datetime.fromtimestamp(utc).astimezone().date()
