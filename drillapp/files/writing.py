"""Files written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(path: Path, data: bytes) -> None:
    """Write a file beside its place, then move it there: a reader sees the old one or the new one whole.

    Raises OSError where the place cannot be written; what was there stays, and nothing else is left.
    """
    if path.is_dir():
        raise IsADirectoryError(21, "this is a folder", str(path))
    mode = path.stat().st_mode & 0o777 if path.exists() else _new_file_mode()
    handle, aside = tempfile.mkstemp(prefix=f".{path.name[:80]}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(aside, mode)
        os.replace(aside, path)
    except BaseException:
        Path(aside).unlink(missing_ok=True)
        raise


def _new_file_mode() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
