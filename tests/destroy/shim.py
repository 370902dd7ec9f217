"""The layer before the C library (shim.c): built once, then loaded into a process of its own."""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

from .outcome import ROOT

SHORT, TORN = -1, -2


@lru_cache(maxsize=1)
def built() -> Path | None:
    """The shared library; None where it cannot be built: no C compiler, or not Linux."""
    if sys.platform != "linux" or not shutil.which("cc"):
        return None
    target = Path(tempfile.mkdtemp(prefix="destroy-shim-")) / "shim.so"
    source = Path(__file__).with_name("shim.c")
    done = subprocess.run(
        ["cc", "-O1", "-shared", "-fPIC", "-o", str(target), str(source), "-ldl"],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise RuntimeError(done.stderr)
    return target


def run(module: str, *arguments: str, timeout: float = 7200.0) -> str:
    """What a module prints that is run with the layer before the C library."""
    done = subprocess.run(
        [sys.executable, "-m", module, *arguments],
        cwd=ROOT,
        env={**os.environ, "LD_PRELOAD": str(built())},
        capture_output=True,
        text=True,
        timeout=timeout,
        check=False,
    )
    if done.returncode:
        raise RuntimeError(f"{module}: {done.returncode}\n{done.stderr[-4000:]}")
    return done.stdout


class Layer:
    """The layer, in a process that it was loaded into."""

    def __init__(self) -> None:
        library = ctypes.CDLL(None)
        self._below = library.shim_below
        self._arm: Callable[[int, int, int], None] = library.shim_arm
        self._record = library.shim_record
        self._mark = library.shim_mark
        self._mark.argtypes = [ctypes.c_uint64]
        self._arm.argtypes = [ctypes.c_long, ctypes.c_int, ctypes.c_int]  # type: ignore[attr-defined]
        self._count = library.shim_count
        self._count.restype = ctypes.c_long

    def below(self, path: Path) -> None:
        """Only calls on files below this folder count."""
        self._below(os.fsencode(path))

    def arm(self, turn: int, how: int, stays: bool = False) -> None:
        """Let call number ``turn`` fail with this error, and with ``stays`` all that follow."""
        self._arm(turn, how, int(stays))

    def disarm(self) -> int:
        """No call fails any more; how many there were."""
        count = int(self._count())
        self._arm(-1, 0, 0)
        return count

    def record(self, path: Path | None) -> None:
        self._record(os.fsencode(path) if path else None)

    def mark(self, number: int) -> None:
        """Note in the record that an answer was said to be on disk."""
        self._mark(number)
