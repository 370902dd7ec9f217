"""Collecting: all files that were handed in, from files, folders and the folder that the desk watches.

Conventions: one bad file never stops the rest, and comes out as a line that says why. In folders only files
with an ending of a hand-in are looked at, hidden ones and links are not, and no deeper than DEEPEST. The
watched folder is gone through at the start: a file that has not changed since it was last read is left.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from drillapp.records import Collected, HandInError, LogError, PracticeLog

ENDINGS = (".handin", ".gz")
MOST_FILES = 5_000
DEEPEST = 3
WATCHED = "watched"


@dataclass(frozen=True)
class FileLine:
    """What became of one file: ``done``, or the ``fault`` for which nothing of it was taken."""

    path: Path
    done: Collected | None = None
    names: tuple[str, ...] = ()
    fault: LogError | None = None


class Stopped(Exception):
    """Raised by a progress function to stop collecting; what was collected stays, and so do its lines."""


Progress = Callable[[int, int, float], None]
"""Called with the number of the file (from 1), how many there are and its share done; Stopped stops it."""


def files_in(paths: Sequence[Path]) -> tuple[Path, ...]:
    """The files to collect: those given themselves, and those with a hand-in's ending in folders."""
    found: dict[Path, None] = {}
    for path in paths:
        if os.path.isdir(path):  # false, where a Path raises, for a name that no disk takes
            found.update(dict.fromkeys(_in_folder(path, DEEPEST)))
        else:
            found[path] = None
        if len(found) > MOST_FILES:
            break
    return tuple(found)[:MOST_FILES]


def collect_all(
    log: PracticeLog, paths: Sequence[Path], progress: Progress = lambda number, of, share: None
) -> tuple[FileLine, ...]:
    """Collect files and folders, one after another; a line for each file."""
    files = files_in(paths)
    lines = []
    for number, path in enumerate(files, 1):

        def tell(share: float, number: int = number) -> None:
            progress(number, len(files), share)

        try:
            done = log.collect(path, tell)
        except (HandInError, LogError) as error:
            lines.append(FileLine(path, fault=error))
            continue
        except Stopped:
            break
        names = tuple(log.learners.get(one).name for one in done.learners)
        lines.append(FileLine(path, done, names))
    return tuple(lines)


def watched(log: PracticeLog) -> Path | None:
    """The folder that is gone through at the start; None where none was chosen."""
    note = log.desk.get(WATCHED) or {}
    folder = note.get("folder")
    return Path(folder) if isinstance(folder, str) and folder else None


def watch(log: PracticeLog, folder: Path | None) -> None:
    """Go through this folder at each start from now on; None: through none."""
    log.desk.put(WATCHED, None if folder is None else {"folder": str(folder.absolute()), "seen": {}})


def waiting(log: PracticeLog) -> tuple[Path, ...]:
    """The files in the watched folder that were not read yet as they are now."""
    folder = watched(log)
    if folder is None or not os.path.isdir(folder):
        return ()
    seen = _seen(log)
    return tuple(path for path in files_in([folder]) if seen.get(str(path)) != _stamp(path))


def mark_read(log: PracticeLog, lines: Sequence[FileLine]) -> None:
    """Note that these files of the watched folder were read, the refused ones too."""
    folder = watched(log)
    if folder is None:
        return
    there = {str(path): _stamp(path) for path in files_in([folder])}
    read = {str(line.path): _stamp(line.path) for line in lines}
    seen = {path: stamp for path, stamp in {**_seen(log), **read}.items() if path in there}
    log.desk.put(WATCHED, {"folder": str(folder), "seen": seen})


def _seen(log: PracticeLog) -> dict[str, str]:
    seen = (log.desk.get(WATCHED) or {}).get("seen")
    return seen if isinstance(seen, dict) else {}


def _stamp(path: Path) -> str:
    try:
        status = path.stat()
    except OSError:
        return ""
    return f"{status.st_size}-{status.st_mtime_ns}"


def _in_folder(folder: Path, deep: int) -> Iterator[Path]:
    try:
        entries = sorted(os.scandir(folder), key=lambda one: one.name)
    except OSError:
        return
    for entry in entries:
        if entry.name.startswith("."):
            continue
        if entry.is_dir(follow_symlinks=False) and deep > 1:
            yield from _in_folder(Path(entry.path), deep - 1)
        elif entry.name.lower().endswith(ENDINGS) and not entry.is_dir():
            yield Path(entry.path)
