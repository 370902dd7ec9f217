"""Opening the practice log: check it before trusting it, and say in a sentence what was wrong.

Order: folder; header; version (a newer file is refused untouched); SQLite's own integrity check; migration
with its backup; write-ahead logging with full synchronisation; a trial write. A damaged file is set aside
(rescue.py). Sources: https://www.sqlite.org/fileformat2.html, .../wal.html, .../pragma.html,
.../howtocorrupt.html
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Iterable
from itertools import chain
from pathlib import Path

from drillapp.files.reading import open_plain
from drillapp.files.writing import make_private, make_private_folder

from .errors import (
    SQLITE_ERRORS,
    FolderError,
    LogDamaged,
    LogError,
    LogForeign,
    LogReadOnly,
    LogTooNew,
    Remark,
    explained,
    is_damage,
)
from .image import lines_laid_over
from .journal import belongs, frames_of, is_cut, journal_of, lines_in, put_aside
from .lines import seal
from .log import PracticeLog
from .rescue import finish_rescue, set_aside
from .rows import (
    DifferentAnswer,
    device_of,
    insert,
    next_number,
    read_row,
    settle,
    settle_by_rule,
    settle_last,
)
from .schema import SCHEMA, migrate, missing_parts, prepare, version_of
from .store import Store
from .waiting import left_behind

_MAGIC = b"SQLite format 3\0"


def open_log(path: str | os.PathLike[str], wait: float = 2.0) -> PracticeLog:
    """The practice log at `path`, made where there is none, together with its folder.

    `wait`: seconds to wait for another program that holds the file. `.notices` is for the user.
    Raises LogLocked, LogReadOnly, LogFull, LogTooNew, LogForeign, FolderError or, for the rest, LogError.
    """
    path = Path(path).absolute()
    try:
        make_private_folder(path.parent)
        if path.is_dir():
            raise LogError(
                f"{path}: is a folder; the practice log must be a file",
                code="log-is-folder",
                places={"path": path},
            )
        finish_rescue(path)
        make_private(path)
    except PermissionError:
        pass  # said below in the words of a log that cannot be read or written
    except OSError as error:
        raise _folder_fault(path, error) from error
    notices: list[Remark] = []
    try:
        return _open(path, wait, notices)
    except LogDamaged:
        notices.append(set_aside(path))
        return _open(path, wait, notices)


def _open(path: Path, wait: float, notices: list[Remark]) -> PracticeLog:
    _check_header(path)
    lost = _other_journal(path, notices)
    frames = frames_of(path)
    left = list(left_behind(path))

    def connect() -> sqlite3.Connection:
        return sqlite3.connect(path, timeout=wait, isolation_level=None, check_same_thread=False)

    def again() -> sqlite3.Connection:
        connection = connect()
        prepare(connection)
        return connection

    connection: sqlite3.Connection | None = None
    try:
        connection = connect()
        _check_content(connection, path)
        if is_cut(connection, path, frames):
            lost = put_aside(path, "damaged", keep=True)
            notices.append(_cut(lost))
        prepare(connection)
        copies = migrate(connection, path)
        store = Store(connection, path, again)
        more = [] if lost is None else lines_laid_over(path, lost)
        # A transaction that can be begun can be written: this is where a lock or a read-only file shows.
        with store.writing():
            found = 0 if lost is None else _take_up(connection, chain(lines_in(lost), more))
            waited = sum(_take_waiting(connection, lines) for _, lines in left)
            settle_by_rule(connection)
    except OSError as error:
        if connection is not None:
            connection.close()
        raise _folder_fault(path, error) from error
    except SQLITE_ERRORS as error:
        if connection is not None:
            connection.close()
        raise explained(error, path) from error
    except BaseException:
        if connection is not None:
            connection.close()
        raise
    for waiting, _ in left:
        with contextlib.suppress(OSError):
            waiting.unlink(missing_ok=True)
    notices.extend(
        Remark(
            f"The practice log was brought up to date; a copy from before is in {copy.name}.",
            code="log-migrated",
            places={"copy": copy.name},
        )
        for copy in copies
    )
    if found:
        answers = "1 answer was" if found == 1 else f"{found:,} answers were"
        notices.append(
            Remark(
                f"{answers} saved from a damaged journal of the practice log.",
                code="journal-rescued",
                places={"count": found},
            )
        )
    if waited:
        answers = "1 answer that" if waited == 1 else f"{waited:,} answers that"
        verb = "is" if waited == 1 else "are"
        notices.append(
            Remark(
                f"{answers} could not be written before {verb} now in the practice log.",
                code="waiting-taken",
                places={"count": waited},
            )
        )
    return PracticeLog(store, tuple(notices))


def _folder_fault(path: Path, error: OSError) -> FolderError:
    return FolderError(
        f"{path.parent}: the folder for the practice log cannot be used ({error.strerror})",
        code="log-folder",
        places={"path": path.parent, "reason": error.strerror},
    )


def _other_journal(path: Path, notices: list[Remark]) -> Path | None:
    """Put a journal aside that is another file's, so that it is not laid over this one; where it is then."""
    if belongs(path):
        return None
    try:
        aside = put_aside(path, "other")
    except OSError as error:
        raise _folder_fault(path, error) from error
    notices.append(
        Remark(
            f"Beside the practice log lay the journal of another one. It is kept as {aside.name}, and its "
            "answers were added.",
            code="journal-of-another",
            places={"file": aside.name},
        )
    )
    return aside


def _cut(aside: Path) -> Remark:
    return Remark(
        f"The journal of the practice log was damaged, so the last answers may be missing. "
        f"It is kept as {aside.name}.",
        code="journal-cut",
        places={"file": aside.name},
    )


def _check_header(path: Path) -> None:
    try:
        with open_plain(path) as file:
            header = file.read(100)
    except FileNotFoundError:
        return
    except OSError as error:
        raise LogReadOnly(
            f"{path}: the practice log cannot be read ({error.strerror}). "
            "Nothing was changed. Make it readable.",
            code="log-unreadable",
            places={"path": path, "reason": error.strerror},
        ) from error
    if not header:
        # SQLite would take an empty file for a new one and clear the journal that holds its answers.
        if any(lines_in(journal_of(path))):
            raise LogDamaged(f"{path}: is empty, but its journal is not")
        return
    # Bytes 18 and 19 are the write and read versions: 1 or 2. SQLite calls a file with others read-only.
    if not header.startswith(_MAGIC) or len(header) < 100 or not {header[18], header[19]} <= {1, 2}:
        raise LogDamaged(f"{path}: does not begin as a practice log does")


def _check_content(connection: sqlite3.Connection, path: Path) -> None:
    version = version_of(connection)
    tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if not version and not tables:
        return
    if not tables & {"answers", "meta", "learners", "met"}:
        # Damage at the start of the file hides the tables, but not the answers in its raw bytes.
        if not tables or any(lines_in(path)):
            raise LogDamaged(f"{path}: its list of tables is gone")
        raise LogForeign(
            f"{path}: is another program's database, not a practice log. Nothing was changed.",
            code="log-foreign",
            places={"path": path},
        )
    try:
        row = connection.execute("SELECT value FROM meta WHERE name = 'schema'").fetchone()
    except SQLITE_ERRORS as error:
        if "no such" in str(error) or is_damage(error):
            raise LogDamaged(f"{path}: {error}") from error
        raise
    if row is None or row[0] != str(version):
        raise LogDamaged(f"{path}: its version is written in two places that differ")
    if version > SCHEMA:
        raise LogTooNew(
            f"{path}: was written by a newer drillapp (version {version} of the log; "
            f"this one knows up to {SCHEMA}). Nothing was changed. Update drillapp to open it.",
            code="log-too-new",
            places={"path": path, "version": version, "known": SCHEMA},
        )
    if missing := missing_parts(connection, version):
        raise LogDamaged(f"{path}: {missing} is missing from it")
    found = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if found != "ok":
        raise LogDamaged(f"{path}: {found}")


def _take_up(connection: sqlite3.Connection, lines: Iterable[str]) -> int:
    """Put answers into the log that only a journal still held; how many there were."""
    device = device_of(connection)
    devices = set()
    found = 0
    for line in lines:
        try:
            data = read_row(line)
        except ValueError:
            continue
        with contextlib.suppress(DifferentAnswer):
            if insert(connection, line, data, here=data["device"] == device):
                devices.add(data["device"])
                found += 1
    settle(connection, devices)
    return found


def _take_waiting(connection: sqlite3.Connection, lines: Iterable[str]) -> int:
    """Put answers into the log that waited in a file beside it; how many there were."""
    found = 0
    for line in lines:
        try:
            data = read_row(line)
        except ValueError:
            continue  # the last line, where the power went while it was written
        device, number = next_number(connection, device_of(connection))
        data = {"answer": data["answer"], "device": device, "number": number}
        with contextlib.suppress(DifferentAnswer):
            if insert(connection, seal(data), data, here=True):
                settle_last(connection, device, data["answer"]["utc"])
                found += 1
    return found
