"""What verbs share: the fault that ends one, arguments of a pattern, files written whole or not at all."""

from __future__ import annotations

import argparse
import os
import tempfile
from pathlib import Path

from drillapp.music import Pattern, PatternError, parse


class InputFault(Exception):
    """What was given cannot be used; the message says what is wrong and what would be right."""


def add_pattern_arguments(parser: argparse.ArgumentParser) -> None:
    """Meter, tempo and swing of a pattern given as text."""
    parser.add_argument("--meter", default="4/4", help="such as 3/4, 6/8 or 2+2+3/8 (4/4 where not given)")
    parser.add_argument("--tempo", type=number, default=90, metavar="N", help="beats a minute (90)")
    parser.add_argument("--swing", metavar="LONG:SHORT", help="written even, played long-short, such as 2:1")


def number(text: str) -> float:
    """An argument that is a number; whole numbers stay whole."""
    value = float(text)
    return int(value) if value.is_integer() else value


def read_pattern(text: str, options: argparse.Namespace) -> Pattern:
    """The pattern of a text argument. Raises InputFault with line and column."""
    try:
        return parse(text, options.meter, options.tempo, options.swing)
    except PatternError as error:
        raise InputFault(f"pattern:{error.line}:{error.column}: {error.message}") from None


def write_whole(path: Path, data: bytes) -> None:
    """Write a file beside its place, then move it there: a reader sees the old one or the new one whole.

    Raises InputFault where the place cannot be written; what was there stays.
    """
    if path.is_dir():
        raise InputFault(f"{path} is a folder; give the name of a file to write")
    aside = None
    try:
        handle, aside = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(aside, _usual_mode(path))
        os.replace(aside, path)
    except OSError as error:
        if aside is not None:
            Path(aside).unlink(missing_ok=True)
        if isinstance(error, FileNotFoundError):
            raise InputFault(f"there is no folder {path.parent}; make it, or write elsewhere") from None
        raise InputFault(f"{path} cannot be written ({error.strerror or error}); write elsewhere") from None


def _usual_mode(path: Path) -> int:
    if path.exists():
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
