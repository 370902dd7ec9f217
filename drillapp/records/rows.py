"""Writing answers and learners into the tables; used by append, collect and rescue alike.

Conventions: the caller holds a transaction. A "whole answer" is the JSON object of its line without the check
value: {"answer": {...}, "device": id, "number": n}.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from typing import Any, TypeGuard

from .answer import TAKEN_BACK, VOIDS, Answer, as_dict, check_object, new_id
from .clock import effective, is_behind
from .learner_line import learner_data
from .limits import MAX_ID, MAX_NUMBER, whole_number
from .lines import read_json, seal, unseal_own

CLOCK_RULE = "2"
FULL_NUMBER = MAX_NUMBER // 2
"""From here on a file counts its own answers anew, under another device's id."""
STANDS = "NOT EXISTS (SELECT 1 FROM voided v WHERE v.id = a.id AND v.learner = a.learner)"
"""What holds of the answers (``a``) that were not taken back and are no row that takes one back."""


class DifferentAnswer(ValueError):
    """Two different answers with one id: one of them was altered."""


def device_of(connection: sqlite3.Connection) -> str:
    """The id of the device that this file belongs to."""
    return str(connection.execute("SELECT value FROM meta WHERE name = 'device'").fetchone()[0])


def whole(answer: Answer, device: str, number: int) -> dict[str, Any]:
    """The object of an answer's line."""
    return {"answer": as_dict(answer), "device": device, "number": number}


def check_row(data: Any) -> None:
    """Raises ValueError where the object of a line is not a whole answer that every room can use."""
    if not isinstance(data, dict) or data.keys() != {"answer", "device", "number"}:
        raise ValueError("it must hold answer, device, number and crc")
    if not is_id(data["device"]):
        raise ValueError("device must be text of 1 to 100 characters")
    whole_number("number", data["number"], 1, MAX_NUMBER)
    check_object(data["answer"])


def read_row(line: Any) -> dict[str, Any]:
    """The whole answer of a line in our own log. Raises ValueError where it is not whole and right."""
    if not isinstance(line, str):
        raise ValueError("is not text")
    try:
        data = unseal_own(line)
        data.pop("crc", None)
        check_row(data)
    except (RecursionError, TypeError, AttributeError) as error:
        raise ValueError(str(error)) from None
    return data


def is_id(value: Any) -> TypeGuard[str]:
    """Whether it can be the id of a device."""
    return isinstance(value, str) and 1 <= len(value) <= MAX_ID and value.isprintable() and value.isascii()


def next_number(connection: sqlite3.Connection, device: str) -> tuple[str, int]:
    """The device under which this file counts, and the number of its next answer.

    The number only grows, whatever the clock does. Where one that was collected left no room above it, the
    file counts on under a new id, which is noted in it.
    """
    row = connection.execute(
        "SELECT max(number) FROM answers WHERE device = ? AND typeof(number) = 'integer'", (device,)
    ).fetchone()
    number = int(row[0] or 0) + 1
    if number <= FULL_NUMBER:
        return device, number
    fresh = new_id()
    connection.execute("UPDATE meta SET value = ? WHERE name = 'device'", (fresh,))
    return fresh, 1


def insert(connection: sqlite3.Connection, line: str, data: dict[str, Any], here: bool) -> bool:
    """Add a whole answer unless it is there already; True where it was new.

    One of a learner who was deleted is left out. Raises DifferentAnswer where another answer has its id.
    `here`: it was given on this device.
    """
    answer = data["answer"]
    key, learner = answer["id"], answer["learner"]
    if is_deleted(connection, learner):
        return False
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
    connection.execute("DELETE FROM tallies WHERE learner = ?", (learner,))
    voids = answer["extra"].get(VOIDS) if answer["drill"] == TAKEN_BACK else None
    if isinstance(voids, str):
        connection.executemany(
            "INSERT OR IGNORE INTO voided VALUES (?, ?)", [(voids, learner), (key, learner)]
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


def is_deleted(connection: sqlite3.Connection, learner: str) -> bool:
    """Whether a learner was deleted here: nothing of theirs is taken in again."""
    return connection.execute("SELECT 1 FROM deleted WHERE learner = ?", (learner,)).fetchone() is not None


def _same(old: str, new: str) -> bool:
    # Device and number are not compared: an answer that is appended again comes with a new number.
    try:
        return bool(unseal_own(old)["answer"] == unseal_own(new)["answer"])
    except (ValueError, KeyError):
        # The stored row is damaged and cannot be mended; it must not stop all others from being collected.
        return True


def unnamed(learner: str) -> dict[str, Any]:
    """A learner of whom only the id is known; any name given later is newer."""
    # An id may hold what a name may not, such as a space at its end.
    plain = "".join(char for char in learner if char.isascii() and char.isalnum())
    return {"id": learner, "name": f"Learner {plain[:6]}".rstrip(), "made": 0.0, "named": 0.0}


def known_learner(key: str, text: Any) -> dict[str, Any] | None:
    """What a learner's stored line says; None where it cannot be read."""
    try:
        data = learner_data(read_json(text)["learner"])
    except (ValueError, KeyError, TypeError):
        return None
    return data if data["id"] == key else None


def put_learner(
    connection: sqlite3.Connection, data: dict[str, Any], here: bool = False, instead: bool = False
) -> None:
    """Add a learner, or merge it with what is known: the name given last is kept, whichever came first.

    ``instead``: the name is taken whenever the known one was given.
    """
    row = connection.execute("SELECT text FROM learners WHERE id = ?", (data["id"],)).fetchone()
    if row is None:
        line = seal({"learner": data})
        connection.execute("INSERT INTO learners (id, text, here) VALUES (?, ?, ?)", (data["id"], line, here))
        return
    known = known_learner(data["id"], row[0]) or unnamed(data["id"])
    newer = data if instead else max((known, data), key=lambda one: (one["named"], one["name"]))
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


def settle_by_rule(connection: sqlite3.Connection) -> None:
    """Derive the effective times anew where they were found by another rule of clock.py than today's."""
    row = connection.execute("SELECT value FROM meta WHERE name = 'clock'").fetchone()
    if row is not None and row[0] == CLOCK_RULE:
        return
    devices = connection.execute(
        "SELECT DISTINCT a.device FROM times t JOIN answers a ON a.entry = t.entry"
    ).fetchall()
    settle(connection, [device for (device,) in devices])
    connection.execute(
        "INSERT INTO meta VALUES ('clock', ?) ON CONFLICT DO UPDATE SET value = excluded.value", (CLOCK_RULE,)
    )


def settle_last(connection: sqlite3.Connection, device: str, utc: float) -> None:
    """The same after one answer was added at the end: nothing to do unless the clock went back."""
    row = connection.execute(
        "SELECT a.utc FROM answers a LEFT JOIN times t ON t.entry = a.entry "
        "WHERE a.device = ? AND t.entry IS NULL ORDER BY a.number DESC LIMIT 1 OFFSET 1",
        (device,),
    ).fetchone()
    if (row is not None and utc < row[0]) or _first_behind(connection, device, utc):
        settle(connection, (device,))


def _first_behind(connection: sqlite3.Connection, device: str, utc: float) -> bool:
    """Whether the clock is seen for the first time to have been far ahead (see clock.py) by this reading."""
    (ahead,) = connection.execute(
        "SELECT max(a.utc) FROM times t JOIN answers a ON a.entry = t.entry WHERE a.device = ?", (device,)
    ).fetchone()
    if ahead is None or not is_behind(utc, ahead):
        return False
    before = connection.execute(
        "SELECT utc FROM answers WHERE device = ? ORDER BY number DESC LIMIT 1 OFFSET 1", (device,)
    ).fetchone()
    return before is None or not is_behind(before[0], ahead)
