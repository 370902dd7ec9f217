"""SQLite's write-ahead log beside the practice log: is all of it read, and does it belong to this file?

SQLite takes a journal as far as its first damage and says nothing of the rest, and it lays whatever journal
it finds over whatever file stands beside it. Both are found here before anything is written: by the frames
that the journal says it has, and by the answers of the file alone, all of which must still be there with the
journal laid over, since none is ever deleted.
Source: https://www.sqlite.org/fileformat2.html#the_write_ahead_log
"""

from __future__ import annotations

import contextlib
import mmap
import os
import shutil
import sqlite3
import struct
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from drillapp.files.reading import open_plain
from drillapp.files.writing import make_private

from .errors import SQLITE_ERRORS
from .lines import carve
from .schema import free_name

_HEADER, _FRAME = 32, 24
_MAGIC = (0x377F0682, 0x377F0683)
_GENERATIONS = 100_000
_TABLE = "SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'answers'"
_ANSWERS = "SELECT entry, id FROM answers ORDER BY entry"


@dataclass(frozen=True)
class Frames:
    """What a journal says of itself: its salts, the number of its last committed page, any damage seen."""

    salts: bytes
    committed: int
    damaged: bool


def journal_of(path: Path) -> Path:
    """Where a log's journal is, if there is one."""
    return path.with_name(path.name + "-wal")


def frames_of(path: Path) -> Frames | None:
    """The frames of a log's journal, by its own bytes; None where there is no journal or an empty one."""
    with contextlib.suppress(OSError), open_plain(journal_of(path)) as file:
        header = file.read(_HEADER)
        if len(header) < _HEADER:
            return None
        magic, _, page = struct.unpack(">III", header[:12])
        salts = header[16:24]
        if magic not in _MAGIC or struct.unpack(">II", header[24:32]) != _checksum(header[:24], magic):
            return Frames(salts, 0, damaged=True)
        size = os.fstat(file.fileno()).st_size
        committed, damaged = 0, False
        for number in range((size - _HEADER) // (_FRAME + page)):
            file.seek(_HEADER + number * (_FRAME + page))
            _, commit, generation = struct.unpack(">III", (frame := file.read(_FRAME))[:12])
            if frame[8:16] == salts:
                committed = number + 1 if commit else committed
            # Frames from before the journal was last begun anew have a salt that was lower by one each time.
            elif not 0 < (struct.unpack(">I", salts[:4])[0] - generation) % 2**32 < _GENERATIONS:
                damaged = True
        return Frames(salts, committed, damaged)
    return None


def is_cut(connection: sqlite3.Connection, path: Path, before: Frames | None) -> bool:
    """Whether SQLite reads less of the journal than was once committed; ``before``: its frames on opening."""
    if before is None:
        return False
    _, read, _ = connection.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchone()
    after = frames_of(path)
    if after is None or after.salts != before.salts:
        return False  # another program that uses the log has begun its journal anew
    return before.damaged or read < before.committed


def belongs(path: Path) -> bool:
    """Whether the journal beside a log is its own; True where there is none, or nothing can be said."""
    with contextlib.suppress(OSError):
        if not path.stat().st_size or not journal_of(path).stat().st_size:
            return True
    if not path.exists() or not journal_of(path).exists():
        return True
    try:
        with _read_only(path, "immutable=1") as alone:
            right = alone.execute("PRAGMA integrity_check(1)").fetchone() == ("ok",)
            if not right or not alone.execute(_TABLE).fetchone():
                return True
            try:
                # Closing a connection that may not write leaves the journal where it is.
                with _read_only(path, "mode=ro") as both:
                    if both.execute("PRAGMA integrity_check(1)").fetchone() != ("ok",):
                        return False
                    return _holds_all(both, alone)
            except SQLITE_ERRORS as error:
                # Damage is only seen with the journal laid over; anything else, such as a lock, says nothing.
                return "malformed" not in str(error) and "no such table" not in str(error)
    except SQLITE_ERRORS:
        return True


def put_aside(path: Path, what: str, keep: bool = False) -> Path:
    """Move a journal, or with ``keep`` copy it, to a name of its own beside the log; gives where it is."""
    journal = journal_of(path)
    aside = free_name(
        journal.with_name(f"{journal.name}.{what}-{time.strftime('%Y%m%d-%H%M%S', time.gmtime())}")
    )
    if keep:
        make_private(aside)
        shutil.copyfile(journal, aside)
    else:
        os.rename(journal, aside)
        path.with_name(path.name + "-shm").unlink(missing_ok=True)
    return aside


def lines_in(path: Path) -> Iterator[str]:
    """Every whole line in the raw bytes of a file of any size, of which little is in memory at a time."""
    with contextlib.suppress(OSError), open_plain(path) as file:
        if os.fstat(file.fileno()).st_size:
            with mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as data:
                yield from carve(data)


def _holds_all(both: sqlite3.Connection, alone: sqlite3.Connection) -> bool:
    there = both.execute(_ANSWERS)
    found: tuple[int, str] | None = (-1, "")
    for entry, key in alone.execute(_ANSWERS):
        while found is not None and found[0] < entry:
            found = there.fetchone()
        if found is None or found != (entry, key):
            return False
    return True


@contextlib.contextmanager
def _read_only(path: Path, how: str) -> Iterator[sqlite3.Connection]:
    with contextlib.closing(sqlite3.connect(f"file:{quote(str(path))}?{how}", uri=True)) as connection:
        yield connection


def _checksum(data: bytes, magic: int) -> tuple[int, int]:
    order = ">" if magic & 1 else "<"
    first = second = 0
    words = struct.unpack(f"{order}{len(data) // 4}I", data)
    for index in range(0, len(words), 2):
        first = (first + words[index] + second) % 2**32
        second = (second + words[index + 1] + first) % 2**32
    return first, second
