"""Set work in the practice log: what was given to whom, at the desk; what was opened by whom, at a learner's.

Conventions: the work itself is text that whoever reads it checks (set_work.py); `whose` is the id of a class,
a student or a learner.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from .set_work import SetWork, SetWorkError, read_work, work_text
from .store import Store


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

    def end(self, work: str) -> None:
        """Take a piece of work back."""
        with self._store.writing() as connection:
            connection.execute("DELETE FROM set_for WHERE work = ?", (work,))
            connection.execute("DELETE FROM set_work WHERE id = ?", (work,))
