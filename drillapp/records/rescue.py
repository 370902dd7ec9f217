"""A damaged practice log: set aside whole, with all that can still be read saved into a new one.

Three ways are taken, since damage that stops one often spares the others: SQLite reads what it can reach,
row by row, of the file as it is and of a copy made readable (image.py), and the raw bytes of the file and of
its write-ahead log are searched for self-checking lines (lines.py). The damaged files are only ever copied
and renamed.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from drillapp.files.writing import make_private, sync

from .answer import new_id
from .errors import SQLITE_ERRORS, LogError, Remark
from .image import images, reachable
from .journal import journal_of, lines_in
from .learner_line import learner_data
from .lines import compact, is_whole, unseal, unseal_own
from .rows import DifferentAnswer, check_row, insert, is_deleted, put_learner, settle
from .schema import DESK_TABLES, forgiving, free_name, migrate, prepare

SIDES = ("", "-wal", "-shm")
"""The files that make up a practice log: the file itself, its write-ahead log and that one's index."""
RESCUED = ".rescued"


@dataclass
class Remains:
    """What could still be read."""

    lines: dict[str, tuple[str, int]] = field(default_factory=dict)
    """Answers: each line with its device and number."""
    learners: list[dict[str, Any]] = field(default_factory=list)
    flags: list[tuple[Any, ...]] = field(default_factory=list)
    sessions: list[tuple[Any, ...]] = field(default_factory=list)
    settings: list[tuple[Any, ...]] = field(default_factory=list)
    desk: dict[str, dict[tuple[Any, ...], None]] = field(default_factory=dict)
    """Rows of the desk's tables."""
    device: str | None = None

    def add(self, line: str) -> None:
        """Keep a line, if it is whole and right."""
        if line in self.lines:
            return
        try:
            data = unseal(line)
            if "learner" in data:
                self.learners.append(learner_data(data["learner"]))
            else:
                check_row(data)
                self.lines[line] = (data["device"], data["number"])
        except (ValueError, KeyError, TypeError):
            return


def set_aside(path: Path) -> Remark:
    """Put a new log with every readable row in the place of a damaged one; gives the sentence for the user.

    Raises LogError where the disk does not allow it; the damaged file is then still in its place.
    """
    try:
        remains = read_remains(path)
        fresh = path.with_name(path.name + RESCUED)
        fresh.unlink(missing_ok=True)
        saved, lost = _write(fresh, remains)
        aside = free_name(
            path.with_name(f"{path.name}.damaged-{time.strftime('%Y%m%d-%H%M%S', time.gmtime())}")
        )
        # The file itself last: until then, a crash leaves it where the next start finds it damaged again.
        for side in reversed(SIDES):
            if (part := Path(f"{path}{side}")).exists():
                os.rename(part, f"{aside}{side}")
        os.rename(fresh, path)
        sync(path.parent)
    except (OSError, *SQLITE_ERRORS) as error:
        raise LogError(
            f"{path}: the practice log is damaged, and a new one could not be made ({error}). "
            "Nothing was deleted. Make room on the disk and the folder writable, then try again.",
            code="log-not-rescued",
            places={"path": path, "reason": error},
        ) from error
    answers = "1 answer was" if saved == 1 else f"{saved:,} answers were"
    sentence = (
        f"The practice log was damaged. It is kept as {aside.name}, and {answers} saved into a new log."
    )
    places = {"file": aside.name, "count": saved, "lost": lost}
    if not lost:
        return Remark(sentence, code="log-rescued", places=places)
    return Remark(f"{sentence} At least {lost:,} could not be read.", code="log-part-rescued", places=places)


def finish_rescue(path: Path) -> None:
    """Take up a rescue that was cut off between its two renames."""
    fresh = path.with_name(path.name + RESCUED)
    if fresh.is_file() and not path.exists():
        os.rename(fresh, path)


def read_remains(path: Path) -> Remains:
    """What of a log can be read, from its tables and from its raw bytes. Raises OSError."""
    remains = Remains()
    # A rescue that was cut off may have set the journal aside already, but its rows are in the new file.
    for source in (path, path.with_name(path.name + RESCUED)):
        with tempfile.TemporaryDirectory(prefix=f".{path.name}.", dir=path.parent) as folder:
            copy = Path(folder) / "copy"
            # The file alone too: the journal may be another file's.
            for sides in (SIDES[:1], SIDES[:2]):
                for side in sides:
                    if (part := Path(f"{source}{side}")).is_file():
                        shutil.copyfile(part, f"{copy}{side}")
                if not copy.exists():
                    continue
                with (
                    contextlib.suppress(*SQLITE_ERRORS),
                    contextlib.closing(sqlite3.connect(copy)) as connection,
                ):
                    connection.text_factory = forgiving
                    _read_tables(connection, remains)
        with images(source, journal_of(source)) as connections:
            for connection in connections:
                with contextlib.suppress(*SQLITE_ERRORS):
                    _read_tables(connection, remains)
        for side in SIDES[:2]:
            for line in lines_in(Path(f"{source}{side}")):
                remains.add(line)
    return remains


def _read_tables(connection: sqlite3.Connection, remains: Remains) -> None:
    for (text,) in reachable(connection, "answers", "text"):
        if isinstance(text, str) and is_whole(text):
            remains.add(text)
    for key, text, archived, here in reachable(connection, "learners", "id, text, archived, here"):
        if isinstance(text, str) and is_whole(text):
            remains.add(text)
        remains.flags.append((int(archived == 1), int(here != 0), key))
    remains.sessions.extend(reachable(connection, "sessions", "id, learner, started, plan, ended"))
    with contextlib.suppress(*SQLITE_ERRORS):
        for row in connection.execute("SELECT learner, name, value FROM settings"):
            remains.settings.append(row)
    for table in DESK_TABLES:
        with contextlib.suppress(*SQLITE_ERRORS):
            for row in connection.execute(f"SELECT * FROM {table}"):
                remains.desk.setdefault(table, {})[row] = None
    with contextlib.suppress(*SQLITE_ERRORS, TypeError):
        remains.device = (
            remains.device or connection.execute("SELECT value FROM meta WHERE name = 'device'").fetchone()[0]
        )


def _write(fresh: Path, remains: Remains) -> tuple[int, int]:
    make_private(fresh)
    with contextlib.closing(sqlite3.connect(fresh, isolation_level=None)) as connection:
        prepare(connection)
        migrate(connection, fresh)
        connection.execute("BEGIN IMMEDIATE")
        for table, rows in remains.desk.items():  # first: the marks of those who were deleted are among them
            for row in rows:
                with contextlib.suppress(*SQLITE_ERRORS):
                    places = ", ".join("?" * len(row))
                    connection.execute(f"INSERT INTO {table} VALUES ({places})", row)
        for learner in remains.learners:
            if is_deleted(connection, learner["id"]):
                continue
            put_learner(connection, learner, here=remains.device is None)
        numbers: dict[str, set[int]] = {}
        saved = 0
        for line, (device, number) in sorted(remains.lines.items(), key=lambda item: item[1]):
            with contextlib.suppress(DifferentAnswer):
                saved += insert(connection, line, unseal_own(line), here=remains.device in (None, device))
                numbers.setdefault(device, set()).add(number)
        settle(connection, numbers)
        connection.executemany("UPDATE learners SET archived = ?, here = ? WHERE id = ?", remains.flags)
        for row in remains.sessions:
            with contextlib.suppress(*SQLITE_ERRORS):
                connection.execute("INSERT INTO sessions VALUES (?, ?, ?, ?, ?)", row)
        for row in remains.settings:
            with contextlib.suppress(*SQLITE_ERRORS):
                connection.execute("INSERT INTO settings VALUES (?, ?, ?)", row)
        # Unreadable rows may have had the highest numbers, so this file goes on counting under a new id.
        connection.execute("UPDATE meta SET value = ? WHERE name = 'device'", (new_id(),))
        connection.execute(
            "INSERT INTO meta VALUES ('rescued', ?)", (compact({"device": remains.device, "answers": saved}),)
        )
        connection.execute("COMMIT")
        # It is renamed alone: all of it must be in the file, none in a journal that could not be emptied.
        if connection.execute("PRAGMA journal_mode = DELETE").fetchone() != ("delete",):
            raise sqlite3.OperationalError("disk I/O error")
    sync(fresh)
    own = numbers.get(remains.device or "", set())
    return saved, (max(own) - len(own)) if own else 0
