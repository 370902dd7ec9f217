"""The learners of a device: add, rename, archive with undo, and who practised last.

Conventions: a learner is known by an id that no other device makes, so two devices' Anas never mix; the
name is only for people. Where two devices give one learner two names, the name given last is kept. An
archived learner keeps every answer. `now` is UTC seconds, the clock's where it is not given.
"""

from __future__ import annotations

import time
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from .answer import LATEST, new_id
from .lines import read_json
from .rows import put_learner
from .store import Store

LONGEST_NAME = 60


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


def clean_name(name: str) -> str:
    """A learner's name as it is kept: spaces tidied, letters composed (Unicode NFC).

    Raises NameRefused where nothing is left, or it is too long or not text.

    >>> clean_name("  Ana   B ")
    'Ana B'
    """
    tidy = unicodedata.normalize("NFC", " ".join(name.split()))
    if not 1 <= len(tidy) <= LONGEST_NAME:
        raise NameRefused(
            f"A name has 1 to {LONGEST_NAME} characters; this one has {len(tidy)}.",
            code="name-length",
            places={"longest": LONGEST_NAME, "length": len(tidy)},
        )
    # Joiners are part of writing (Persian, emoji); other unseen characters turn or hide the text around them.
    if any(unicodedata.category(char).startswith("C") and char not in "\u200c\u200d" for char in tidy):
        raise NameRefused(
            "A name is letters, figures and spaces; this one holds a control character.", code="name-control"
        )
    return tidy


def learner_data(data: Any) -> dict[str, Any]:
    """A learner's line from outside, checked. Raises ValueError saying what is wrong."""
    if not isinstance(data, dict) or set(data) != {"id", "name", "made", "named"}:
        raise ValueError("a learner must have id, name, made and named, and no more")
    if not isinstance(data["id"], str) or not 1 <= len(data["id"]) <= 100 or not data["id"].isprintable():
        raise ValueError("a learner's id must be text of 1 to 100 characters")
    if not isinstance(data["name"], str) or clean_name(data["name"]) != data["name"]:
        raise ValueError("a learner's name is not tidy text")
    for key in ("made", "named"):
        value = data[key]
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value <= LATEST:
            raise ValueError(f"a learner's {key} must be UTC seconds")
    return dict(data)


class NameRefused(ValueError):
    """A learner's name that cannot be taken: why, in a sentence, with a code and the values in it by name."""

    def __init__(self, message: str, *, code: str, places: Mapping[str, object] | None = None) -> None:
        super().__init__(message)
        self.message, self.code, self.places = message, code, dict(places or {})


class Learners:
    """The learners in one practice log."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def all(self, archived: bool = False) -> tuple[Learner, ...]:
        """The learners by name; with `archived`, the archived ones too."""
        found = [_learner(row) for row in self._store.rows("SELECT text, archived, here FROM learners")]
        shown = [learner for learner in found if archived or not learner.archived]
        return tuple(sorted(shown, key=lambda learner: (learner.name.casefold(), learner.id)))

    def get(self, learner: str) -> Learner:
        """The learner with this id. Raises LookupError where there is none."""
        row = self._store.one("SELECT text, archived, here FROM learners WHERE id = ?", (learner,))
        if row is None:
            raise LookupError(f"No learner has the id {learner!r}.")
        return _learner(row)

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
        # Newer than the last name, also where the clock was set back.
        renamed = Learner(
            learner, tidy, known.made, max(now, known.named + 0.001), known.archived, known.here
        )
        with self._store.writing() as connection:
            put_learner(connection, _data(renamed))
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


def _learner(row: tuple[Any, ...]) -> Learner:
    text, archived, here = row
    return Learner(**read_json(text)["learner"], archived=bool(archived), here=bool(here))
