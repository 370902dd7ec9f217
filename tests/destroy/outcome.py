"""What a way of destroying came to, and a folder to do it in."""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from unittest import mock

ROOT = Path(__file__).resolve().parents[2]


@dataclass
class Outcome:
    """``fell`` says of each that fell how; ``note`` what the figures do not say."""

    what: str
    tried: int = 0
    fell: list[str] = field(default_factory=list)
    note: str = ""


@contextlib.contextmanager
def folder(quick: bool = False) -> Iterator[Path]:
    """A folder that is gone afterwards, with the system's folder for state in it; ``quick``: in memory."""
    inside = "/dev/shm" if quick and os.access("/dev/shm", os.W_OK) else None
    made = Path(tempfile.mkdtemp(prefix="destroy-", dir=inside))
    try:
        with mock.patch.dict(os.environ, {"XDG_STATE_HOME": str(made / "state")}):
            yield made
    finally:
        shutil.rmtree(made, ignore_errors=True)
