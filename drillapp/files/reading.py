"""Files that others made, read within bounds: only plain files, and never more than is allowed."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import BinaryIO


class NotPlain(OSError):
    """A pipe, a device or a folder where a file should be."""


class TooLarge(OSError):
    """A file of more bytes than are read."""


def read_bounded(path: Path, most: int) -> bytes:
    """The bytes of a plain file of at most ``most`` bytes.

    Raises OSError: NotPlain for pipes, devices and folders, which could give bytes without end or none for
    ever; TooLarge before more than ``most`` bytes are in memory.
    """
    with open_plain(path) as file:
        size = os.fstat(file.fileno()).st_size
        if size > most:
            raise TooLarge(27, f"this has {size:,} bytes; at most {most:,} are read", str(path))
        data = file.read(most + 1)
    if len(data) > most:
        raise TooLarge(27, f"this has more than {most:,} bytes, the most that are read", str(path))
    return data


def open_plain(path: Path) -> BinaryIO:
    """A plain file, open to be read. Raises OSError, NotPlain for a pipe, a device or a folder."""
    # Opening a pipe that no one writes to waits for ever unless it is told not to.
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise NotPlain(22, "this is a pipe, a device or a folder, not a file", str(path))
    return os.fdopen(handle, "rb")
