"""Writing answers and learners into the tables; used by append, collect and rescue alike.

Conventions: the caller holds a transaction. A "whole answer" is the JSON object of its line without the check
value: {"answer": {...}, "device": id, "number": n}.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from typing import Any

from .answer import Answer, as_dict
from .clock import effective
from .lines import read_json, seal, unseal_own


class DifferentAnswer(ValueError):
    """Two different answers with one id: one of them was altered."""


def device_of(connection: sqlite3.Connection) -> str:
    """The id of the device that this file belongs to."""
    return str(connection.execute("SELECT value FROM meta WHERE name = 'device'").fetchone()[0])


def whole(answer: Answer, device: str, number: int) -> dict[str, Any]:
    """The object of an answer's line."""
    return {"answer": as_dict(answer), "device": device, "number": number}


def next_number(connection: sqlite3.Connection, device: str) -> int:
    """The number of this device's next answer; it only grows, whatever the clock does."""
    row = connection.execute("SELECT max(number) FROM answers WHERE device = ?", (device,)).fetchone()
    return int(row[0] or 0) + 1


def insert(connection: sqlite3.Connection, line: str, data: dict[str, Any], here: bool) -> bool:
    """Add a whole answer unless it is there already; True where it was new.

    Raises DifferentAnswer where another answer has its id. `here`: it was given on this device.
    """
    answer = data["answer"]
    key, learner = answer["id"], answer["learner"]
    row = connection.execute("SELECT text FROM answers WHERE id = ?", (key,)).fetchone()
    if row is not None:
        if row[0] == line or _same(row[0], line):
            return False
        raise DifferentAnswer(f"another answer with the id {key} is in the practice log already")
    connection.execute(
        'INSERT INTO answers (id, device, number, learner, session, utc, "offset", text) '
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        (
            key,
            data["device"],
            data["number"],
            learner,
            answer["session"],
            answer["utc"],
            answer["offset"],
            line,
        ),
    )
    texts = dict.fromkeys(answer["candidates"], 0)
    texts[answer["pattern"]] = 1
    connection.executemany(
        "INSERT INTO met VALUES (?, ?, ?) ON CONFLICT DO UPDATE SET asked = 1 WHERE asked < excluded.asked",
        [(learner, text, asked) for text, asked in texts.items()],
    )
    known = connection.execute("SELECT here FROM learners WHERE id = ?", (learner,)).fetchone()
    if known is None or (here and not known[0]):
        put_learner(connection, unnamed(learner), here=here)
    return True


def _same(old: str, new: str) -> bool:
    # Device and number are not compared: an answer that is appended again comes with a new number.
    try:
        return bool(unseal_own(old)["answer"] == unseal_own(new)["answer"])
    except (ValueError, KeyError):
        # The stored row is damaged and cannot be mended; it must not stop all others from being collected.
        return True


def unnamed(learner: str) -> dict[str, Any]:
    """A learner of whom only the id is known; any name given later is newer."""
    return {"id": learner, "name": f"Learner {learner[:6]}", "made": 0.0, "named": 0.0}


def put_learner(connection: sqlite3.Connection, data: dict[str, Any], here: bool = False) -> None:
    """Add a learner, or merge it with what is known: the name given last is kept, whichever came first."""
    row = connection.execute("SELECT text FROM learners WHERE id = ?", (data["id"],)).fetchone()
    if row is None:
        line = seal({"learner": data})
        connection.execute("INSERT INTO learners (id, text, here) VALUES (?, ?, ?)", (data["id"], line, here))
        return
    known = read_json(row[0])["learner"]
    newer = max((known, data), key=lambda one: (one["named"], one["name"]))
    # 0 stands for "not known" here.
    made = min((one["made"] for one in (known, data) if one["made"]), default=0.0)
    connection.execute(
        "UPDATE learners SET text = ?, here = max(here, ?) WHERE id = ?",
        (seal({"learner": {**newer, "made": made}}), here, data["id"]),
    )


def settle(connection: sqlite3.Connection, devices: Iterable[str]) -> None:
    """Derive the effective times of these devices' answers (clock.py); only those that differ are kept."""
    for device in devices:
        rows = connection.execute(
            "SELECT entry, utc FROM answers WHERE device = ? ORDER BY number, utc, id", (device,)
        ).fetchall()
        readings = [utc for _, utc in rows]
        times = effective(readings)
        connection.execute(
            "DELETE FROM times WHERE entry IN (SELECT entry FROM answers WHERE device = ?)", (device,)
        )
        connection.executemany(
            "INSERT INTO times VALUES (?, ?)",
            [(entry, time) for (entry, utc), time in zip(rows, times, strict=True) if time != utc],
        )


def settle_last(connection: sqlite3.Connection, device: str, utc: float) -> None:
    """The same after one answer was added at the end: nothing to do unless the clock went back."""
    row = connection.execute(
        "SELECT a.utc FROM answers a LEFT JOIN times t ON t.entry = a.entry "
        "WHERE a.device = ? AND t.entry IS NULL ORDER BY a.number DESC LIMIT 1 OFFSET 1",
        (device,),
    ).fetchone()
    if row is not None and utc < row[0]:
        settle(connection, (device,))
