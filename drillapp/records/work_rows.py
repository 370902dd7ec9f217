"""Set work in the practice log: what was given to whom, at the desk; what was opened by whom, at a learner's.

Conventions: the work itself is text that whoever reads it checks (set_work.py); `whose` is the id of a class,
a student or a learner.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from .entries import day_of
from .rows import STANDS, read_row
from .set_work import SET_WORK, SetWork, SetWorkError, read_work, work_text
from .spent import spent
from .store import Store

ENOUGH = 0.75
"""Of a day's minutes, which a drill's questions fill only about."""
_SLACK = 86_400.0


@dataclass(frozen=True)
class WorkDone:
    """A piece of work and how far it is: on ``days`` of the ``of`` so far, ``minutes`` in all."""

    work: SetWork
    days: int
    of: int
    minutes: float


class WorkRows:
    """The set work in one practice log."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def give(self, work: SetWork, whose: Iterable[str]) -> None:
        """Keep a piece of work and whose it is; the same piece again, changed, stands in its place."""
        with self._store.writing() as connection:
            connection.execute(
                "INSERT INTO set_work VALUES (?, ?, ?) ON CONFLICT DO UPDATE SET text = excluded.text",
                (work.id, work.made, work_text(work)),
            )
            connection.executemany(
                "INSERT OR IGNORE INTO set_for VALUES (?, ?)", [(work.id, one) for one in whose]
            )

    def of(self, whose: Sequence[str]) -> tuple[SetWork, ...]:
        """The work of any of these ids, newest first; what is damaged on disk is left out."""
        places = ", ".join("?" * len(whose))
        rows = self._store.rows(
            f"SELECT DISTINCT w.id, w.made, w.text FROM set_work w JOIN set_for f ON f.work = w.id "
            f"WHERE f.whose IN ({places}) ORDER BY w.made DESC, w.id",
            tuple(whose),
        )
        found = []
        for _, _, text in rows:
            try:
                found.append(read_work(text))
            except SetWorkError:
                continue
        return tuple(found)

    def whose(self, work: str) -> tuple[str, ...]:
        """The ids that a piece of work is for."""
        return tuple(one for (one,) in self._store.rows("SELECT whose FROM set_for WHERE work = ?", (work,)))

    def done(self, work: SetWork, learners: Sequence[str], day: date) -> WorkDone:
        """How much of a piece these learners have done up to a day, by the answers that were given for it.

        A day counts once ENOUGH of its minutes are reached; with any answer where no minutes are set.
        """
        spent_on: Counter[date] = Counter()
        for learner in learners:
            # The clocks of two devices differ: an answer that names the work is one, whatever its time says.
            rows = self._store.rows(
                "SELECT text FROM answers a WHERE a.learner = ? AND a.utc >= ? AND instr(a.text, ?) "
                f"AND {STANDS}",
                (learner, work.made - _SLACK, work.id),
            )
            for (text,) in rows:
                try:
                    answer = read_row(text)["answer"]
                except ValueError:
                    continue
                if answer["extra"].get(SET_WORK) == work.id:
                    spent_on[day_of(answer["utc"], answer["offset"])] += spent(answer["seconds"])
        last = min(day, work.until)
        first = min(day_of(work.made, 0), last)
        of = (last - first).days + 1
        done = sum(one >= ENOUGH * 60_000 * (work.minutes or 0) for one in spent_on.values())
        return WorkDone(work, min(done, of), of, sum(spent_on.values()) / 60_000)

    def end(self, work: str) -> None:
        """Take a piece of work back."""
        with self._store.writing() as connection:
            connection.execute("DELETE FROM set_for WHERE work = ?", (work,))
            connection.execute("DELETE FROM set_work WHERE id = ?", (work,))
