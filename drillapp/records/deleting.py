"""Deleting a learner: every row of theirs goes, and a mark stays that keeps it away.

Conventions: the caller holds a transaction. What is deleted is overwritten in the file (SQLite's
secure_delete), so that no rescue finds it again in the raw bytes. Copies that were made before, by a
migration, by a person or by a program that synchronises folders, are not touched.
"""

from __future__ import annotations

import sqlite3

from .answer import new_id

_TABLES = ("met", "voided", "sessions", "settings", "tallies", "student_of", "answers")


def delete_rows(connection: sqlite3.Connection, learner: str, utc: float) -> int:
    """Delete all of a learner, and mark it; gives how many answers there were."""
    connection.execute("PRAGMA secure_delete = ON")
    connection.execute("INSERT OR IGNORE INTO deleted VALUES (?, ?)", (learner, utc))
    connection.execute(
        "DELETE FROM times WHERE entry IN (SELECT entry FROM answers WHERE learner = ?)", (learner,)
    )
    gone = 0
    for table in _TABLES:
        gone = connection.execute(f"DELETE FROM {table} WHERE learner = ?", (learner,)).rowcount
    connection.execute("DELETE FROM learners WHERE id = ?", (learner,))
    connection.execute("DELETE FROM set_for WHERE whose = ?", (learner,))
    return gone


def new_device(connection: sqlite3.Connection) -> str:
    """Let the file count its own answers anew, under another device's id; gives that."""
    fresh = new_id()
    connection.execute("UPDATE meta SET value = ? WHERE name = 'device'", (fresh,))
    return fresh
