"""All that a teacher keeps beside the answers, as one JSON object: for a backup, and to take one in.

Conventions: taking in adds what is not here and changes nothing that is. A learner who was deleted here or
there stays deleted. The lock, the watched folder and other notes of one machine are no part of it. Reading
trusts nothing: every value is checked before anything is changed.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from typing import Any

from .classes import LONGEST_REMARK, MOST_CLASSES, MOST_STUDENTS
from .deleting import delete_rows
from .learner_line import clean_name
from .limits import LATEST, is_learner_id
from .set_work import read_work
from .store import Store

MOST_ROWS = 200_000
_TABLES: Mapping[str, tuple[str, ...]] = {
    "classes": ("id", "name", "made", "archived"),
    "students": ("id", "name", "class", "archived", "remark", "joined"),
    "student_of": ("learner", "student"),
    "set_work": ("id", "made", "text"),
    "set_for": ("work", "whose"),
    "deleted": ("learner", "utc"),
}
_MOST = {"classes": MOST_CLASSES, "students": MOST_STUDENTS}


class DeskRows:
    """The desk's rows in one practice log, all together."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def data(self) -> dict[str, list[list[Any]]]:
        """Every row, by table."""
        return {
            table: [list(row) for row in self._store.rows(f"SELECT {', '.join(columns)} FROM {table}")]
            for table, columns in _TABLES.items()
        }

    def take_in(self, data: Any) -> None:
        """Add what such an object holds. Raises ValueError saying what is wrong in it; nothing changes then.

        To be called once the answers are in, and before the desk looks at them.
        """
        rows = checked(data)
        with self._store.writing() as connection:
            for learner, utc in rows["deleted"]:
                delete_rows(connection, learner, utc)
            _take_classes(connection, rows["classes"])
            owned = dict(connection.execute("SELECT learner, student FROM student_of").fetchall())
            gone = {one for (one,) in connection.execute("SELECT learner FROM deleted").fetchall()}
            of = [(one, student) for one, student in rows["student_of"] if one not in gone]
            # Whose records all stand with somebody here already would come a second time.
            twice = {student for _, student in of} - {one_s for one, one_s in of if one not in owned}
            twice -= set(owned.values())
            _add(connection, "students", [row for row in rows["students"] if row[0] not in twice])
            _add(connection, "student_of", of)
            _add(connection, "set_work", rows["set_work"])
            _add(connection, "set_for", rows["set_for"])


def checked(data: Any) -> dict[str, list[list[Any]]]:
    """The rows of such an object from outside. Raises ValueError."""
    if not isinstance(data, dict) or set(data) != set(_TABLES):
        raise ValueError(f"it must hold {', '.join(_TABLES)}, and no more")
    for table, columns in _TABLES.items():
        rows = data[table]
        if not isinstance(rows, list) or len(rows) > _MOST.get(table, MOST_ROWS):
            raise ValueError(f"{table} is no list, or too long")
        for row in rows:
            if not isinstance(row, list) or len(row) != len(columns):
                raise ValueError(f"a row of {table} holds {', '.join(columns)}")
            for column, value in zip(columns, row, strict=True):
                if not _fits(column, value):
                    raise ValueError(f"{column} of {table} is {str(value)[:40]!r}")
            if table == "set_work":
                read_work(row[2])
    return data


def _fits(column: str, value: Any) -> bool:
    if column in ("id", "learner", "student", "work", "whose"):
        return is_learner_id(value)
    if column in ("class", "joined"):
        return value is None or is_learner_id(value)
    if column in ("made", "utc"):
        return isinstance(value, (int, float)) and not isinstance(value, bool) and 0 <= value <= LATEST
    if column == "archived":
        return value in (0, 1)
    if column == "name":
        return isinstance(value, str) and clean_name(value) == value
    return isinstance(value, str) and (column == "text" or len(value) <= LONGEST_REMARK)


def _take_classes(connection: sqlite3.Connection, rows: list[list[Any]]) -> None:
    there = connection.execute("SELECT id, name FROM classes").fetchall()
    ids, names = {key for key, _ in there}, {name.casefold() for _, name in there}
    for key, name, made, archived in rows:
        if key in ids:
            continue
        free, number = name, 2
        while free.casefold() in names:
            free, number = f"{name} {number}", number + 1
        names.add(free.casefold())
        connection.execute("INSERT INTO classes VALUES (?, ?, ?, ?)", (key, free, made, archived))


def _add(connection: sqlite3.Connection, table: str, rows: list[list[Any]] | list[tuple[Any, ...]]) -> None:
    places = ", ".join("?" * len(_TABLES[table]))
    columns = ", ".join(_TABLES[table])
    connection.executemany(f"INSERT OR IGNORE INTO {table} ({columns}) VALUES ({places})", rows)
