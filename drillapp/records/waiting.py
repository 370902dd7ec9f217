"""Answers that could not be written to the log, kept in a file of their own until they can.

Conventions: a file of lines (lines.py) beside the log, `practice.sqlite.waiting-...`, or in the system's
folder for state where nothing can be written beside it. It is made when the log is opened, with room for
some dozen answers, so that a disk that is full later still takes them. Empty lines are that room. It is
taken up at the next start, by id, so that nothing comes twice; an empty one is deleted when the log is
closed.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import sys
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

import platformdirs

from drillapp.files.reading import open_plain, read_bounded
from drillapp.files.writing import make_private_folder, sync

from .lines import MAX_LINE

ROOM = 64 * 1024
"""Bytes that are taken on the disk beforehand."""
MOST = 64 * 2**20
MARK = ".waiting-"


class Waiting:
    """The file of one open log."""

    def __init__(self, log: Path) -> None:
        self._log = log
        self._lines: dict[str, bytes] = {}
        self._kept: set[str] = set()
        self._path: Path | None = None
        self._file: BinaryIO | None = None
        self._used = 0

    @property
    def path(self) -> Path | None:
        """Where the file is; None where there is none."""
        return self._path

    def reserve(self) -> None:
        """Make the file; where that cannot be done it is tried again when it is needed."""
        with contextlib.suppress(OSError):
            self._make(self._log.with_name(self._log.name + MARK + _token()))

    def keep(self, key: str, line: str) -> bool:
        """Put the line of an answer on disk; True where it is there."""
        self._lines[key] = line.encode("ascii") + b"\n"
        if not self._in_place():
            self._leave()
        if self._file is None and not self._make_somewhere():
            return False
        if key in self._kept:
            return True
        try:
            self._write(self._lines[key])
        except OSError:
            # Where there is no more room here, there may be some elsewhere.
            self._leave()
            if not self._make_somewhere(beside=False):
                return False
        self._kept.add(key)
        return True

    def keeps(self, key: str) -> bool:
        """Whether the line is on disk."""
        return key in self._kept

    def forget(self) -> None:
        """All of them are in the log now."""
        self._lines.clear()
        self._kept.clear()
        if self._file is not None and self._used:
            with contextlib.suppress(OSError):
                self._file.seek(0)
                self._file.write(b"\n" * self._used)
                self._file.flush()
                os.fsync(self._file.fileno())
                self._used = 0

    def close(self) -> None:
        """Leave the file for the next start; delete it where no answer is in it."""
        path, empty = self._path, not self._kept and self._in_place()
        self._leave()
        if path is not None and empty:
            with contextlib.suppress(OSError):
                path.unlink()

    def _make_somewhere(self, beside: bool = True) -> bool:
        places = [self._log.parent] if beside else []
        for folder in (*places, state_folder()):
            try:
                if folder != self._log.parent:
                    make_private_folder(folder)
                elsewhere = folder != self._log.parent
                name = (_elsewhere(self._log) if elsewhere else self._log.name + MARK) + _token()
                self._make(folder / name, room=0)
                for line in self._lines.values():
                    self._write(line)
            except OSError:
                self._leave()
                continue
            self._kept = set(self._lines)
            return True
        self._kept.clear()
        return False

    def _make(self, path: Path, room: int = ROOM) -> None:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
        self._file, self._path, self._used = os.fdopen(handle, "r+b"), path, 0
        _lock(self._file)
        if room:
            self._file.write(b"\n" * room)
            self._file.flush()
            os.fsync(handle)
            sync(path.parent)

    def _write(self, data: bytes) -> None:
        assert self._file is not None and self._path is not None
        self._file.seek(self._used)
        self._file.write(data)
        self._file.flush()
        os.fsync(self._file.fileno())
        if not self._used:
            sync(self._path.parent)
        self._used += len(data)

    def _in_place(self) -> bool:
        if self._file is None or self._path is None:
            return False
        try:
            return os.path.samestat(os.fstat(self._file.fileno()), os.stat(self._path))
        except OSError:
            return False

    def _leave(self) -> None:
        if self._file is not None:
            with contextlib.suppress(OSError):
                self._file.close()
        self._file, self._path, self._used = None, None, 0


def left_behind(log: Path) -> Iterator[tuple[Path, list[str]]]:
    """The files that earlier starts left for this log, with their lines; not those of a running app."""
    for folder, start in ((log.parent, log.name + MARK), (state_folder(), _elsewhere(log))):
        try:
            paths = sorted(path for path in folder.iterdir() if path.name.startswith(start))
        except OSError:
            continue
        for path in paths:
            with contextlib.suppress(OSError), open_plain(path) as file:
                if not _lock(file):
                    continue
                data = read_bounded(path, MOST)
                lines = data.decode("latin-1").split("\n")
                yield path, [line for line in lines if line.strip() and len(line) <= MAX_LINE]


def state_folder() -> Path:
    """The system's folder for what a program remembers."""
    return Path(platformdirs.user_state_dir("drillapp", appauthor=False))


def _elsewhere(log: Path) -> str:
    return f"{hashlib.sha256(os.fsencode(log)).hexdigest()[:16]}{MARK}"


def _token() -> str:
    return uuid.uuid4().hex[:12]


if sys.platform == "win32":

    def _lock(_file: BinaryIO) -> bool:
        # A file that another process has open cannot be deleted there.
        return True

else:
    import fcntl

    def _lock(file: BinaryIO) -> bool:
        """Hold a file as ours until it is closed; False where a running app holds it."""
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True
