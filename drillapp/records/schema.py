"""The tables of the practice log, and how an older file becomes a newer one.

Conventions: `user_version` and the row "schema" of `meta` both hold the version, in every version to come, so
that a newer file is told from a damaged one. Migrations go forward only; a copy is made before each.

`answers` is append-only, which triggers enforce. Its `text` is the answer (a self-checking line, lines.py);
the other columns only help to find it. `met`, `times`, `voided` and `tallies` are derived from it and can be
rebuilt. A learner's answers go only as a whole, with a mark in `deleted` that keeps them away.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Callable, Sequence
from pathlib import Path

from drillapp.files.writing import make_private, sync

from .answer import new_id
from .errors import LogError, explained
from .rows import is_id

Migration = Callable[[sqlite3.Connection], None]

_FIRST = """
CREATE TABLE meta (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;

CREATE TABLE answers (
    entry INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    device TEXT NOT NULL,
    number INTEGER NOT NULL,
    learner TEXT NOT NULL,
    session TEXT NOT NULL,
    utc REAL NOT NULL,
    "offset" INTEGER NOT NULL,
    text TEXT NOT NULL
);
CREATE INDEX by_learner ON answers (learner, utc, "offset");
CREATE INDEX by_device ON answers (device, number, utc);
CREATE INDEX by_session ON answers (session);

CREATE TRIGGER answers_are_never_changed BEFORE UPDATE ON answers
BEGIN SELECT RAISE(ABORT, 'the practice log is append-only: an answer is never changed'); END;
CREATE TRIGGER answers_are_never_deleted BEFORE DELETE ON answers
BEGIN SELECT RAISE(ABORT, 'the practice log is append-only: an answer is never deleted'); END;
-- INSERT OR REPLACE would delete without a word.
CREATE TRIGGER answers_are_never_replaced BEFORE INSERT ON answers
WHEN EXISTS (SELECT 1 FROM answers WHERE id = NEW.id OR entry = NEW.entry)
BEGIN SELECT RAISE(ABORT, 'the practice log is append-only: this answer is already in it'); END;

CREATE TABLE met (
    learner TEXT NOT NULL,
    pattern TEXT NOT NULL,
    asked INTEGER NOT NULL,
    PRIMARY KEY (learner, pattern)
) WITHOUT ROWID;
CREATE TABLE times (entry INTEGER PRIMARY KEY, time REAL NOT NULL);

CREATE TABLE learners (
    id TEXT PRIMARY KEY,
    text TEXT NOT NULL,
    archived INTEGER NOT NULL DEFAULT 0,
    here INTEGER NOT NULL DEFAULT 1
);
CREATE TABLE sessions (
    id TEXT PRIMARY KEY,
    learner TEXT NOT NULL,
    started REAL NOT NULL,
    plan TEXT NOT NULL,
    ended REAL
);
CREATE INDEX sessions_of ON sessions (learner);
CREATE TABLE settings (
    learner TEXT NOT NULL,
    name TEXT NOT NULL,
    value TEXT NOT NULL,
    PRIMARY KEY (learner, name)
) WITHOUT ROWID;
"""


def _make_tables(connection: sqlite3.Connection) -> None:
    for statement in _statements(_FIRST):
        connection.execute(statement)
    connection.execute("INSERT INTO meta VALUES ('schema', '0'), ('device', ?)", (new_id(),))


def _add_voided(connection: sqlite3.Connection) -> None:
    # Answers that were taken back, and the rows that say so; a row may come before the answer that it voids.
    connection.execute(
        "CREATE TABLE voided (id TEXT NOT NULL, learner TEXT NOT NULL, PRIMARY KEY (id, learner)) "
        "WITHOUT ROWID"
    )


_DESK = """
CREATE TABLE classes (
    id TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    made REAL NOT NULL,
    archived INTEGER NOT NULL DEFAULT 0
) WITHOUT ROWID;
CREATE TABLE students (
    id TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    class TEXT,
    archived INTEGER NOT NULL DEFAULT 0,
    remark TEXT NOT NULL DEFAULT '',
    joined TEXT
) WITHOUT ROWID;
CREATE TABLE student_of (learner TEXT PRIMARY KEY, student TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE set_work (id TEXT PRIMARY KEY, made REAL NOT NULL, text TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE set_for (work TEXT NOT NULL, whose TEXT NOT NULL, PRIMARY KEY (work, whose)) WITHOUT ROWID;
CREATE TABLE deleted (learner TEXT PRIMARY KEY, utc REAL NOT NULL) WITHOUT ROWID;
CREATE TABLE desk (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE tallies (learner TEXT PRIMARY KEY, text TEXT NOT NULL) WITHOUT ROWID;

DROP TRIGGER answers_are_never_deleted;
-- Only those of a learner who was deleted go, and the mark that keeps them away comes first.
CREATE TRIGGER answers_are_never_deleted BEFORE DELETE ON answers
WHEN NOT EXISTS (SELECT 1 FROM deleted WHERE learner = OLD.learner)
BEGIN SELECT RAISE(ABORT, 'the practice log is append-only: an answer is never deleted'); END;
"""


DESK_TABLES = ("classes", "students", "student_of", "set_work", "set_for", "deleted", "desk")
"""What a teacher keeps, which nothing else in the file tells again."""


def _add_desk(connection: sqlite3.Connection) -> None:
    # What a teacher keeps of classes and students, and the marks of learners who were deleted.
    for statement in _statements(_DESK):
        connection.execute(statement)


def _statements(script: str) -> list[str]:
    # executescript() commits first, which would end the migration's transaction.
    found: list[str] = []
    rest = ""
    for part in script.split(";"):
        rest += part + ";"
        if sqlite3.complete_statement(rest):
            found.append(rest.strip())
            rest = ""
    return [statement for statement in found if statement != ";"]


MIGRATIONS: tuple[Migration, ...] = (_make_tables, _add_voided, _add_desk)
"""The migration at index n makes version n + 1 of version n; version 0 is an empty file."""

SCHEMA = len(MIGRATIONS)


PAGE = 8192
"""Bytes of a page. An answer with all its strokes fits one, so that it is found whole in raw bytes."""


def prepare(connection: sqlite3.Connection) -> None:
    """Make a connection safe: what is committed is on the disk, not only on its way there."""
    for pragma in (
        f"page_size = {PAGE}",
        "cache_size = -8000",
        "journal_mode = WAL",
        "synchronous = FULL",
        "fullfsync = ON",
        "recursive_triggers = ON",
        "trusted_schema = OFF",
    ):
        connection.execute(f"PRAGMA {pragma}")
    connection.text_factory = forgiving


def forgiving(data: bytes) -> str:
    """Text of a file that may be damaged: what is not UTF-8 fails its line's check, not the whole reading."""
    return data.decode("utf-8", "replace")


def missing_parts(connection: sqlite3.Connection, version: int) -> str:
    """The first part that a file of a version lacks, of tables, columns, indexes and triggers; else empty."""
    with contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)) as model:
        for migration in MIGRATIONS[:version]:
            migration(model)
        wanted = _parts(model)
    found = _parts(connection)
    for name in wanted:
        if name not in found:
            return name
    device = connection.execute("SELECT value FROM meta WHERE name = 'device'").fetchone()
    if device is None or not is_id(device[0]):
        return "the device's id"
    return ""


def _parts(connection: sqlite3.Connection) -> dict[str, None]:
    parts: dict[str, None] = {}
    for kind, name in connection.execute("SELECT type, name FROM sqlite_master ORDER BY rowid").fetchall():
        parts[f"{kind} {name}"] = None
        if kind == "table":
            columns = connection.execute("SELECT name FROM pragma_table_info(?)", (name,))
            parts.update({f"column {name}.{column}": None for (column,) in columns})
    return parts


def version_of(connection: sqlite3.Connection) -> int:
    """The schema version of a file; 0 for an empty one."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def migrate(
    connection: sqlite3.Connection, path: Path, migrations: Sequence[Migration] = MIGRATIONS
) -> tuple[Path, ...]:
    """Bring a file up to the newest version, each step in one transaction; gives the copies made before each.

    Raises LogError where a step fails: the file is then as it was before that step.
    """
    copies = []
    is_new = not version_of(connection)  # of an empty file no copy is worth keeping
    while (version := version_of(connection)) < len(migrations):
        if not is_new:
            copies.append(_copy(connection, path, version))
        try:
            connection.execute("BEGIN IMMEDIATE")
            # Another process may have done this step while we waited.
            if version_of(connection) == version:
                migrations[version](connection)
                connection.execute("UPDATE meta SET value = ? WHERE name = 'schema'", (str(version + 1),))
                connection.execute(f"PRAGMA user_version = {version + 1}")
            connection.execute("COMMIT")
        except BaseException as error:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            if copies and isinstance(error, Exception):
                raise LogError(
                    f"{path}: the practice log could not be brought to version {version + 1} ({error}). "
                    f"It is as it was, in version {version}, and a copy is in {copies[-1]}.",
                    code="log-not-migrated",
                    places={
                        "path": path,
                        "next": version + 1,
                        "reason": error,
                        "version": version,
                        "copy": copies[-1],
                    },
                ) from error
            if isinstance(error, sqlite3.Error):
                raise explained(error, path) from error
            raise
    return tuple(copies)


def _copy(connection: sqlite3.Connection, path: Path, version: int) -> Path:
    copy = free_name(path.with_name(f"{path.name}.version-{version}"))
    part = copy.with_name(copy.name + ".part")
    try:
        make_private(part)
        with contextlib.closing(sqlite3.connect(part)) as target:
            connection.backup(target)
        sync(part)
        os.replace(part, copy)
        sync(copy.parent)
    except (OSError, sqlite3.Error) as error:
        part.unlink(missing_ok=True)
        raise LogError(
            f"{copy}: no copy of the practice log could be made before changing it ({error}). "
            "Nothing was changed.",
            code="log-not-copied",
            places={"copy": copy, "reason": error},
        ) from error
    return copy


def free_name(path: Path) -> Path:
    """The path, or the first of path-2, path-3 ... that nothing has yet."""
    candidate, number = path, 1
    while candidate.exists():
        number += 1
        candidate = path.with_name(f"{path.name}-{number}")
    return candidate
