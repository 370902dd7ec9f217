"""What the desk keeps of itself: its lock, the folder that it watches, how long records are kept.

Conventions: a note has a name and a JSON object; one that is damaged on disk is read as if it were not there.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .lines import compact, read_json
from .store import Store


class DeskNotes:
    """The desk's notes in one practice log."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def get(self, name: str) -> dict[str, Any] | None:
        """A note; None where there is none."""
        row = self._store.one("SELECT value FROM desk WHERE name = ?", (name,))
        try:
            return None if row is None else read_json(row[0])
        except (ValueError, TypeError):
            return None

    def put(self, name: str, value: Mapping[str, Any] | None) -> None:
        """Keep a note, on disk, in the place of the one that is there; None takes it away."""
        with self._store.writing() as connection:
            if value is None:
                connection.execute("DELETE FROM desk WHERE name = ?", (name,))
            else:
                connection.execute(
                    "INSERT INTO desk VALUES (?, ?) ON CONFLICT DO UPDATE SET value = excluded.value",
                    (name, compact(dict(value))),
                )
