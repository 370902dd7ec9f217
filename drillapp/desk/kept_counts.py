"""Counts of all students kept between runs, so that a class is shown without going through the log.

Conventions: what is kept is derived from the log and can be thrown away at any time. A record's counts hold
as long as it has as many rows in the log: rows are only ever added, and one that takes an answer back is a
row too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Protocol

from drillapp.records import PracticeLog

from .counts import Counts, count, from_row, to_row

Progress = Callable[[int, int], None]


class Notes(Protocol):
    """Where they are kept: a JSON object by name."""

    def get(self, name: str) -> dict[str, Any] | None: ...
    def put(self, name: str, value: Mapping[str, Any] | None) -> None: ...


def counts_of(
    log: PracticeLog, learners: Iterable[str], notes: Notes | None = None, progress: Progress | None = None
) -> dict[str, Counts]:
    """The counts of each learner's record: those kept where they still hold, else made from the log and kept.

    ``progress`` is called with the records done and their number; what it raises stops the work, and what is
    done by then is kept.
    """
    chosen, rows = tuple(learners), log.row_counts()
    found = {}
    for number, learner in enumerate(chosen, 1):
        found[learner] = _kept(learner, rows.get(learner, 0), notes) or _made(log, learner, rows, notes)
        if progress is not None:
            progress(number, len(chosen))
    return found


def forget(notes: Notes, learner: str) -> None:
    """Keep the counts of a learner no longer, as where the record is deleted."""
    notes.put(_name(learner), None)


def _kept(learner: str, rows: int, notes: Notes | None) -> Counts | None:
    kept = None if notes is None else notes.get(_name(learner))
    if kept is None or kept.get("rows") != rows:
        return None
    try:
        return from_row(kept["counts"])
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def _made(log: PracticeLog, learner: str, rows: Mapping[str, int], notes: Notes | None) -> Counts:
    made = count(log.entries(learner))
    if notes is not None:
        notes.put(_name(learner), {"rows": rows.get(learner, 0), "counts": to_row(made)})
    return made


def _name(learner: str) -> str:
    return f"counts {learner}"
