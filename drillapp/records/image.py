"""A damaged log as one file that SQLite can read: its journal laid over it by hand, its head made anew.

SQLite takes nothing of a file whose head is damaged, and nothing of a journal from its first damage on. Here
every frame of the journal is laid in its place, whatever its checksum says, and the head is written as that
of any log; what was damaged then fails the check of its own line (lines.py), and no other. Only copies are
written.
Source: https://www.sqlite.org/fileformat2.html
"""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
import struct
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from .errors import SQLITE_ERRORS
from .lines import is_whole
from .schema import PAGE, forgiving, migrate, prepare

_MAGIC = b"SQLite format 3\0"
_HEAD, _WAL, _FRAME = 100, 32, 24
_LARGEST = 65_536


@contextlib.contextmanager
def images(path: Path, journal: Path) -> Iterator[Iterator[sqlite3.Connection]]:
    """A log and a journal as one file, open to be read: first with its own list of tables, then with ours.

    Raises OSError where no copy can be made beside them.
    """
    with tempfile.TemporaryDirectory(prefix=f".{path.name}.", dir=path.parent) as folder:
        yield _images(path, journal, Path(folder))


def lines_laid_over(path: Path, journal: Path) -> list[str]:
    """The whole lines of answers that a log and a journal hold together, wherever either is damaged."""
    found: dict[str, None] = {}
    with contextlib.suppress(OSError), images(path, journal) as connections:
        for connection in connections:
            for (text,) in reachable(connection, "answers", "text"):
                if isinstance(text, str) and is_whole(text):
                    found[text] = None
    return list(found)


def reachable(connection: sqlite3.Connection, table: str, columns: str) -> Iterator[tuple[Any, ...]]:
    """Rows of a table from both ends, up to the damage on each side; what lies between is left to carving."""
    for order in ("ASC", "DESC"):
        try:
            yield from connection.execute(f"SELECT {columns} FROM {table} ORDER BY rowid {order}")
            return
        except SQLITE_ERRORS:
            continue


def _images(path: Path, journal: Path, folder: Path) -> Iterator[sqlite3.Connection]:
    image = folder / "image"
    size = _lay_over(path, journal, image)
    if size < PAGE:
        return
    for own_tables in (True, False):
        try:
            _write_head(image, b"" if own_tables else _first_page(folder / "model"))
            connection = sqlite3.connect(image)
        except SQLITE_ERRORS:
            return  # the disk fails; what was found otherwise is there
        with contextlib.closing(connection):
            connection.text_factory = forgiving
            yield connection


def _lay_over(path: Path, journal: Path, image: Path) -> int:
    if path.exists():
        shutil.copyfile(path, image)
    else:
        image.touch()
    with image.open("r+b") as file:
        most = image.stat().st_size // PAGE + (journal.stat().st_size // PAGE if journal.exists() else 0)
        for number, page in _frames(journal):
            # A damaged number must not make the file huge.
            if 0 < number <= most:
                file.seek((number - 1) * PAGE)
                file.write(page)
        file.seek(0, os.SEEK_END)
        return file.tell()


def _frames(journal: Path) -> Iterator[tuple[int, bytes]]:
    """Number and content of each page in a journal, oldest first, of its newest round alone.

    What is left of older rounds is in the log itself. A frame whose own mark of its round is damaged is
    taken for one of the newest where both its neighbours are.
    """
    if not journal.is_file():
        return
    with journal.open("rb") as file:
        file.seek(_WAL)
        marks = []
        while len(head := file.read(_FRAME)) == _FRAME:
            marks.append((struct.unpack(">I", head[:4])[0], head[8:16]))
            file.seek(PAGE, os.SEEK_CUR)
        salts = [salt for _, salt in marks]
        # The newest round begins at the first frame; its mark is on more than one, however one is damaged.
        newest = max(salts[:3], key=salts[:3].count) if salts else b""
        last = max((at for at, salt in enumerate(salts) if salt == newest), default=-1)
        for at in range(last + 1):
            file.seek(_WAL + at * (_FRAME + PAGE) + _FRAME)
            page = file.read(PAGE)
            if len(page) == PAGE:
                yield marks[at][0], page


def _write_head(image: Path, first: bytes) -> None:
    with image.open("r+b") as file:
        if first:
            file.write(first)
        size = os.fstat(file.fileno()).st_size
        file.seek(0)
        # Journal mode of old, so that no other file is looked for; no free pages, as it is only read.
        file.write(_MAGIC + struct.pack(">HBBBBBB", PAGE % _LARGEST, 1, 1, 0, 64, 32, 32))
        file.write(struct.pack(">IIIIIIIIIIII", 1, size // PAGE, 0, 0, 1, 4, 0, 0, 1, 0, 0, 0))
        file.write(bytes(20) + struct.pack(">II", 1, 3_040_001))
        assert file.tell() == _HEAD


def _first_page(model: Path) -> bytes:
    """The list of tables of a new log, which names the same pages in each."""
    with contextlib.closing(sqlite3.connect(model, isolation_level=None)) as connection:
        prepare(connection)
        migrate(connection, model)
    return model.read_bytes()[:PAGE]
