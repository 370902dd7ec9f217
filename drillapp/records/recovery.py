"""What can be done where the practice log cannot be used: set it aside, open a copy of it, save its answers.

Nothing is deleted and nothing is written over: what was in the log's place is kept beside it.
"""

from __future__ import annotations

import contextlib
import os
import time
from pathlib import Path

from drillapp.files.reading import open_plain
from drillapp.files.writing import written_whole

from .answer import new_id
from .errors import LogError
from .handin import HandIn, write_hand_in
from .lines import seal, unseal
from .rescue import SIDES, read_remains
from .rows import is_id, known_learner, unnamed
from .schema import free_name

_MAGIC = b"SQLite format 3\0"


def copies_of(path: Path) -> tuple[Path, ...]:
    """The copies beside a log that can be opened in its place, newest first."""
    found = []
    with contextlib.suppress(OSError):
        for one in path.parent.iterdir():
            kind = one.name.removeprefix(path.name)
            if kind != one.name and kind.startswith((".version-", ".aside-")) and _is_database(one):
                found.append(one)
    return tuple(sorted(found, key=lambda one: one.stat().st_mtime, reverse=True))


def put_log_aside(path: Path) -> Path:
    """Move the log, with its journal, to a name of its own beside it; gives that. Raises LogError."""
    aside = free_name(path.with_name(f"{path.name}.aside-{time.strftime('%Y%m%d-%H%M%S', time.gmtime())}"))
    try:
        for side in reversed(SIDES):
            if (part := Path(f"{path}{side}")).exists():
                os.rename(part, f"{aside}{side}")
    except OSError as error:
        raise LogError(
            f"{path}: cannot be moved aside ({error.strerror}). Make its folder writable."
        ) from error
    return aside


def open_copy(path: Path, copy: Path) -> None:
    """Put a copy in the log's place, and the log aside. Raises LogError; the copy itself stays."""
    try:
        data = copy.read_bytes()
        if path.exists():
            put_log_aside(path)
        with written_whole(path, private=True) as file:
            file.write(data)
    except OSError as error:
        raise LogError(f"{copy}: cannot be put in the log's place ({error.strerror or error}).") from error


def save_readable(path: Path, target: Path) -> HandIn:
    """Write every answer that can still be read to a file to hand in. Raises HandInError, LogError."""
    try:
        remains = read_remains(path)
    except OSError as error:
        raise LogError(f"{path}: cannot be read ({error.strerror or error}).") from error
    lines = [line for line, _ in sorted(remains.lines.items(), key=lambda item: item[1])]
    wanted = {unseal(line)["answer"]["learner"] for line in lines}
    known = {one["id"]: one for one in remains.learners if known_learner(one["id"], seal({"learner": one}))}
    learners = [seal({"learner": known.get(one) or unnamed(one)}) for one in sorted(wanted)]
    return write_hand_in(target, remains.device if is_id(remains.device) else new_id(), learners, lines)


def _is_database(path: Path) -> bool:
    try:
        with open_plain(path) as file:
            return path.is_file() and file.read(16) == _MAGIC
    except OSError:
        return False
