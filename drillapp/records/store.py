"""One connection to the practice log's file, shared by all that read or write it, from any thread.

Conventions: every change happens inside `writing()`, which is one transaction: all of it is on disk when the
block ends, or, after any error, none of it. SQLite's errors leave here as LogError.
"""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Any

from .errors import SQLITE_ERRORS, LogError, explained

_CHUNK = 1000


class Store:
    """A connection, its lock and its file's path."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        self.path = path
        self._connection: sqlite3.Connection | None = connection
        self._lock = threading.RLock()

    def locked(self) -> AbstractContextManager[object]:
        """The lock, for work that must not be mixed with another thread's."""
        return self._lock

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """The connection, alone, with its errors explained."""
        with self._lock:
            if self._connection is None:
                raise LogError(
                    f"{self.path}: the practice log is closed; open it again to use it",
                    code="log-closed",
                    places={"path": self.path},
                )
            try:
                yield self._connection
            except SQLITE_ERRORS as error:
                raise explained(error, self.path) from error

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """A transaction: on disk when the block ends, undone after any error."""
        with self.reading() as connection:
            connection.execute("BEGIN IMMEDIATE")
            try:
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise

    def rows(self, sql: str, values: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
        """Rows of a query, a few at a time, so that an answer given meanwhile need not wait long."""
        with self.reading() as connection:
            cursor = connection.execute(sql, values)
        while True:
            with self.reading():
                chunk = cursor.fetchmany(_CHUNK)
            if not chunk:
                return
            yield from chunk

    def one(self, sql: str, values: tuple[Any, ...] = ()) -> tuple[Any, ...] | None:
        """The first row of a query, or None."""
        with self.reading() as connection:
            row: tuple[Any, ...] | None = connection.execute(sql, values).fetchone()
            return row

    def close(self) -> None:
        """Close the file; a second time does nothing."""
        with self._lock:
            if self._connection is not None:
                self._connection.close()
                self._connection = None
