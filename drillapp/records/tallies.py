"""Counts of a learner's answers, kept ready beside them: any answer that is added takes them away.

Conventions: what is in them is a JSON object of whoever counts, after its CRC-32; one that cannot be read, or
was changed, is as if it were not there.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping
from typing import Any

from .store import Store


class Tallies:
    """The counts kept in one practice log."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def get(self, learner: str) -> dict[str, Any] | None:
        """The counts of a learner's answers as they are now; None where they were not kept."""
        row = self._store.one("SELECT text FROM tallies WHERE learner = ?", (learner,))
        try:
            if row is None or row[0][:8] != _check(row[0][8:]):
                return None
            found = json.loads(row[0][8:])
        except (ValueError, TypeError, RecursionError, AttributeError):
            return None
        return found if isinstance(found, dict) else None

    def put(self, learner: str, value: Mapping[str, Any], rows: int) -> None:
        """Keep the counts of so many rows of a learner; not where there are more by now."""
        text = json.dumps(value, separators=(",", ":"))
        with self._store.writing() as connection:
            now = connection.execute("SELECT count(*) FROM answers WHERE learner = ?", (learner,)).fetchone()[
                0
            ]
            if now == rows:
                connection.execute(
                    "INSERT OR REPLACE INTO tallies VALUES (?, ?)", (learner, _check(text) + text)
                )

    def rows(self, learner: str) -> int:
        """How many rows of answers a learner has, those taken back too."""
        row = self._store.one("SELECT count(*) FROM answers WHERE learner = ?", (learner,))
        return 0 if row is None else int(row[0])


def _check(text: str) -> str:
    return f"{zlib.crc32(text.encode()):08x}"
