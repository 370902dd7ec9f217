"""Files written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_whole(path: Path, data: bytes) -> None:
    """Write a file whole or not at all: beside it first, then renamed. Raises OSError."""
    handle, aside = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent or Path("."))
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        umask = os.umask(0)
        os.umask(umask)
        os.chmod(aside, 0o666 & ~umask)
        os.replace(aside, path)
    except BaseException:
        Path(aside).unlink(missing_ok=True)
        raise
