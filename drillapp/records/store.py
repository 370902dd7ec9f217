"""One connection to the practice log's file, shared by all that read or write it, from any thread.

Conventions: every change happens inside `writing()`, which is one transaction: all of it is on disk when the
block ends, or, after any error, none of it. SQLite's errors leave here as LogError. Before each change the
file at the path is compared with the one that is open: a program that synchronises folders, or a person, may
have deleted or replaced it, and what is then written would be seen by no one.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from pathlib import Path
from typing import Any

from .errors import SQLITE_ERRORS, LogError, LogGone, explained

_CHUNK = 1000


class Store:
    """A connection, its lock and its file's path."""

    def __init__(
        self,
        connection: sqlite3.Connection,
        path: Path,
        reopen: Callable[[], sqlite3.Connection] | None = None,
    ) -> None:
        self.path = path
        self._connection: sqlite3.Connection | None = connection
        self._reopen = reopen
        self._lock = threading.RLock()
        self._file = _place(path)
        self._size = self._file[2] if self._file else 0
        self._journal: tuple[int, int, int] | None = None

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
        """A transaction: on disk when the block ends, undone after any error. Raises LogGone, LogError."""
        with self.reading():
            self._check_place()
            with self.reading() as connection:  # it may be another one now
                connection.execute("BEGIN IMMEDIATE")
                try:
                    yield connection
                    connection.execute("COMMIT")
                except BaseException:
                    if connection.in_transaction:
                        connection.execute("ROLLBACK")
                    raise
                self._journal = _place(_journal(self.path))

    def checkpoint(self) -> None:
        """Bring what is in the journal into the file and empty it, as far as no one else reads it."""
        with self.reading() as connection:
            connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()

    def _check_place(self) -> None:
        now = _place(self.path)
        if now is None or self._file is None or now[:2] != self._file[:2] or now[2] < self._size:
            raise LogGone(
                f"{self.path}: the practice log was deleted or replaced by another file while it was open. "
                "Close the app and open it again.",
                code="log-gone",
                places={"path": self.path},
            )
        self._size = now[2]
        if self._journal is not None and self._reopen is not None:
            journal = _place(_journal(self.path))
            if journal is None or journal[:2] != self._journal[:2]:
                # Only the journal is gone. It is still open here, and closing brings it into the file.
                assert self._connection is not None
                self._connection.close()
                self._connection = self._reopen()
                self._journal = None

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
        """Close the file; a second time does nothing. Raises nothing: what is committed is in the journal."""
        with self._lock:
            if self._connection is not None:
                with suppress(*SQLITE_ERRORS):
                    self._connection.close()
                self._connection = None


def _place(path: Path) -> tuple[int, int, int] | None:
    """Which file is at a path, and its bytes; None where there is none."""
    try:
        status = os.stat(path)
    except OSError:
        return None
    return status.st_dev, status.st_ino, status.st_size


def _journal(path: Path) -> Path:
    return path.with_name(path.name + "-wal")
