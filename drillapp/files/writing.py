"""Files written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import re
import time
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

_PART = re.compile(r"\.(?P<start>.*)\.(?P<pid>[0-9]{1,10})-[0-9]+\.part", re.DOTALL)
_OLD = 86_400.0


def write_whole(path: Path, data: bytes, private: bool = False) -> None:
    """Write a file beside its place, then move it there: a reader sees the old one or the new one whole.

    Raises OSError where the place cannot be written; what was there stays, and nothing else is left.
    """
    with written_whole(path, private) as file:
        file.write(data)


@contextlib.contextmanager
def written_whole(path: Path, private: bool = False) -> Iterator[BinaryIO]:
    """A file to write to, which takes its place once the block has ended; after any error nothing is left.

    ``private``: only its user may read it, whoever could read what was there before. What a process that was
    killed has left half written for the same place is cleared first. Raises OSError.
    """
    if path.is_dir():
        raise IsADirectoryError(21, "this is a folder", str(path))
    mode = 0o600 if private else path.stat().st_mode & 0o777 if path.exists() else _new_file_mode()
    clear_parts(path)
    part, file = _new_part(path)
    try:
        with file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        os.chmod(part, mode)
        os.replace(part, path)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink()
        raise
    sync(path.parent)


def make_private(path: Path) -> None:
    """A file that only its user may read, made empty where there is none. Raises OSError."""
    try:
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
    except FileExistsError:
        if os.name == "posix" and path.stat().st_mode & 0o077:
            with contextlib.suppress(OSError):  # another user's, who lets us write to it
                os.chmod(path, 0o600)


def make_private_folder(path: Path) -> None:
    """A folder for its user alone, and those above it, where they are missing. Raises OSError."""
    for one in (*reversed(path.parents), path):
        with contextlib.suppress(FileExistsError):
            if not one.is_dir():
                one.mkdir(mode=0o700)
    if not path.is_dir():
        raise NotADirectoryError(20, "this is no folder", str(path))


def clear_parts(path: Path) -> None:
    """Delete what processes that are gone left half written for this place."""
    with contextlib.suppress(OSError):
        for other in path.parent.iterdir():
            found = _PART.fullmatch(other.name)
            if found and found["start"] == _start(path) and _is_left(other, int(found["pid"])):
                with contextlib.suppress(OSError):
                    other.unlink()


def sync(path: Path) -> None:
    """Put a file, or a folder's list of names, on disk before going on."""
    try:
        handle = os.open(path, os.O_RDONLY)
    except OSError:
        # Windows opens no folders; there the rename itself is on disk.
        if path.is_dir():
            return
        raise
    try:
        os.fsync(handle)
    except OSError:
        if not path.is_dir():
            raise
    finally:
        os.close(handle)


def _new_part(path: Path) -> tuple[Path, BinaryIO]:
    number = 0
    while True:
        part = path.with_name(f".{_start(path)}.{os.getpid()}-{number}.part")
        try:
            handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
        except FileExistsError:
            number += 1
            continue
        return part, os.fdopen(handle, "wb")


def _start(path: Path) -> str:
    # A name has at most 255 bytes on most systems, and a character up to four of them.
    return path.name[:40]


def _is_left(part: Path, pid: int) -> bool:
    if pid == os.getpid():
        return False
    if os.name != "posix":  # asking there would end the process
        return time.time() - part.stat().st_mtime > _OLD
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return True
    except (OSError, OverflowError):
        return False
    return False


def _new_file_mode() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
