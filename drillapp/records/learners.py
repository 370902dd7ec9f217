"""The learners of a device: add, rename, archive with undo, and who practised last.

Conventions: a learner is known by an id that no other device makes, so two devices' Anas never mix; the
name is only for people. Where two devices give one learner two names, the name given last is kept. An
archived learner keeps every answer. `now` is UTC seconds, the clock's where it is not given.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import Any

from .answer import new_id
from .errors import Remark
from .learner_line import NameRefused, clean_name
from .limits import LATEST
from .rows import known_learner, put_learner, unnamed
from .store import Store


@dataclass(frozen=True)
class Learner:
    """One learner; `here` is true where they practise on this device, not only handed in to it."""

    id: str
    name: str
    made: float
    """When they were added, UTC seconds; 0 where that is not known."""
    named: float
    """When the name was given."""
    archived: bool = False
    here: bool = True


class Learners:
    """The learners in one practice log."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._damaged: set[str] = set()

    @property
    def notices(self) -> tuple[Remark, ...]:
        """One sentence for each learner whose name could not be read; their answers are all there."""
        return tuple(
            Remark(
                f"The name of a learner in the practice log is damaged: {name} stands for it. "
                "Every answer is kept; give the name again.",
                code="learner-damaged",
                places={"name": name},
            )
            for name in sorted(unnamed(key)["name"] for key in self._damaged)
        )

    def all(self, archived: bool = False) -> tuple[Learner, ...]:
        """The learners by name; with `archived`, the archived ones too."""
        rows = self._store.rows("SELECT id, text, archived, here FROM learners")
        found = [self._learner(row) for row in rows if isinstance(row[0], str)]
        shown = [learner for learner in found if archived or not learner.archived]
        return tuple(sorted(shown, key=lambda learner: (learner.name.casefold(), learner.id)))

    def get(self, learner: str) -> Learner:
        """The learner with this id. Raises LookupError where there is none."""
        row = self._store.one("SELECT id, text, archived, here FROM learners WHERE id = ?", (learner,))
        if row is None:
            raise LookupError(f"No learner has the id {learner!r}.")
        return self._learner(row)

    def add(self, name: str, now: float | None = None) -> Learner:
        """A new learner on this device.

        Raises ValueError for a name that is empty, too long, or already taken by another learner here.
        """
        tidy = self._free_name(name)
        now = time.time() if now is None else now
        learner = Learner(new_id(), tidy, now, now)
        with self._store.writing() as connection:
            put_learner(connection, _data(learner), here=True)
        return learner

    def rename(self, learner: str, name: str, now: float | None = None) -> Learner:
        """The learner under a new name; every answer stays theirs. Raises ValueError as `add` does."""
        known = self.get(learner)
        tidy = self._free_name(name, but=learner)
        now = time.time() if now is None else now
        # Newer than the last name, also where the clock was set back; never later than may be read.
        named = min(max(now, known.named + 0.001), LATEST)
        renamed = Learner(learner, tidy, known.made, named, known.archived, known.here)
        with self._store.writing() as connection:
            put_learner(connection, _data(renamed), instead=True)
        self._damaged.discard(learner)
        return renamed

    def archive(self, learner: str) -> Learner:
        """Take a learner off the list; nothing of theirs is deleted, and `restore` undoes it."""
        return self._set_archived(learner, True)

    def restore(self, learner: str) -> Learner:
        """Put an archived learner back on the list."""
        return self._set_archived(learner, False)

    def last(self) -> Learner | None:
        """The learner who practised here last; where nobody has yet, the one added last; None without any."""
        row = self._store.one(
            "SELECT l.id FROM answers a CROSS JOIN learners l ON l.id = a.learner "
            "WHERE l.here AND NOT l.archived ORDER BY a.entry DESC LIMIT 1"
        )
        if row is not None:
            return self.get(row[0])
        return max((one for one in self.all() if one.here), key=lambda one: one.made, default=None)

    def _set_archived(self, learner: str, archived: bool) -> Learner:
        with self._store.writing() as connection:
            connection.execute("UPDATE learners SET archived = ? WHERE id = ?", (archived, learner))
        return self.get(learner)

    def _learner(self, row: tuple[Any, ...]) -> Learner:
        key, text, archived, here = row
        data = known_learner(key, text)
        if data is None:
            self._damaged.add(key)
            data = unnamed(key)
        else:
            self._damaged.discard(key)
        return Learner(**data, archived=archived == 1, here=here != 0)

    def _free_name(self, name: str, but: str | None = None) -> str:
        tidy = clean_name(name)
        for other in self.all():
            if other.here and other.id != but and other.name.casefold() == tidy.casefold():
                raise NameRefused(
                    f"{other.name} already practises here. Choose another name, such as {tidy} 2.",
                    code="name-taken",
                    places={"other": other.name, "name": tidy},
                )
        return tidy


def _data(learner: Learner) -> dict[str, Any]:
    return {"id": learner.id, "name": learner.name, "made": learner.made, "named": learner.named}
