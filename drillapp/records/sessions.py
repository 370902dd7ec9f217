"""Sittings in the log: what was planned and when, so that one that was cut off can be taken up again.

Conventions: on disk the table, and an answer's link to it, are called sessions; times are UTC seconds; a plan
is a JSON object that belongs to whoever planned it. One that is damaged on disk is read as an empty one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from .lines import compact, read_json
from .rows import STANDS
from .store import Store

PLAYED = "play along"
"""The kind of a session in which a page was played along with, and nothing was asked."""


@dataclass(frozen=True)
class SittingRow:
    """What the log keeps of one sitting of one learner, beside its answers."""

    id: str
    learner: str
    started: float
    plan: Mapping[str, Any] = field(default_factory=dict, hash=False)
    ended: float | None = None
    answered: int = 0
    """How many of its answers are in the log."""


class Sessions:
    """The sessions in one practice log."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def begin(
        self, session: str, learner: str, now: float, plan: Mapping[str, Any] | None = None
    ) -> SittingRow:
        """Note on disk that a session began. Raises ValueError where its id was used before."""
        text = compact(dict(plan or {}))
        if self._find(session) is not None:
            raise ValueError(f"There is a session with the id {session!r} already.")
        with self._store.writing() as connection:
            connection.execute(
                "INSERT INTO sessions VALUES (?, ?, ?, ?, NULL)", (session, learner, now, text)
            )
        return SittingRow(session, learner, now, read_json(text))

    def note_play(
        self, session: str, learner: str, started: float, ended: float, plan: Mapping[str, Any]
    ) -> None:
        """Note on disk a time of playing along that is over: no questions, no answers."""
        text = compact({**plan, "kind": PLAYED})
        with self._store.writing() as connection:
            connection.execute(
                "INSERT INTO sessions VALUES (?, ?, ?, ?, ?)", (session, learner, started, text, ended)
            )

    def played(self, learner: str, since: float = 0.0) -> tuple[tuple[float, float], ...]:
        """When the learner began and ended to play along, from a time on, by time."""
        rows = self._store.rows(
            "SELECT started, ended, plan FROM sessions WHERE learner = ? AND started >= ? "
            "AND ended >= started AND instr(plan, ?) ORDER BY started",
            (learner, since, PLAYED),
        )
        return tuple((started, ended) for started, ended, plan in rows if _kind(plan) == PLAYED)

    def end(self, session: str, now: float) -> None:
        """Note that a session came to its end, or that the learner left it for good."""
        with self._store.writing() as connection:
            connection.execute("UPDATE sessions SET ended = ? WHERE id = ? AND ended IS NULL", (now, session))

    def go_on(self, session: str) -> None:
        """Note that a session goes on after all: its last answer was taken back."""
        with self._store.writing() as connection:
            connection.execute("UPDATE sessions SET ended = NULL WHERE id = ?", (session,))

    def unfinished(self, learner: str) -> tuple[SittingRow, ...]:
        """The learner's sessions that have not ended, the last begun first."""
        rows = self._store.rows(
            "SELECT id FROM sessions WHERE learner = ? AND ended IS NULL ORDER BY rowid DESC", (learner,)
        )
        found = (self._find(row[0]) for row in rows)
        return tuple(session for session in found if session is not None)

    def last(self, learner: str) -> SittingRow | None:
        """The learner's last session, by the order in which they began; None before the first."""
        row = self._store.one(
            "SELECT id FROM sessions WHERE learner = ? ORDER BY rowid DESC LIMIT 1", (learner,)
        )
        return None if row is None else self._find(row[0])

    def _find(self, session: str) -> SittingRow | None:
        row = self._store.one(
            "SELECT id, learner, started, plan, ended, "
            f"(SELECT count(*) FROM answers a WHERE a.session = s.id AND {STANDS}) "
            "FROM sessions s WHERE id = ?",
            (session,),
        )
        if row is None:
            return None
        key, learner, started, plan, ended, answered = row
        try:
            planned = read_json(plan)
        except (ValueError, TypeError):
            planned = {}  # as of one that was begun without a plan
        return SittingRow(key, learner, _time(started) or 0.0, planned, _time(ended), answered)


def _time(value: Any) -> float | None:
    return float(value) if isinstance(value, (int, float)) and math.isfinite(value) else None


def _kind(plan: str) -> object:
    try:
        return read_json(plan).get("kind")
    except ValueError:
        return None
