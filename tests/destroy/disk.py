"""Each call on the disk fails once, or from then on: in Python's own calls, and in SQLite's too (shim.c)."""

from __future__ import annotations

import errno
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from unittest import mock

from drillapp.records import open_log

from . import shim
from .material import answer, ids
from .operations import LOG, OPERATIONS, REFUSALS, Operation, Said, template, wrong_after
from .outcome import Outcome, folder

CODES = (errno.ENOSPC, errno.EIO, errno.EACCES, errno.EROFS)
PYTHON = ("write", "fsync", "replace", "rename", "open", "unlink")
MOST_CALLS = 2000


def faults_in_python(every: int = 1) -> Iterator[Outcome]:
    """Every single call that Python code makes in an operation fails once; of so many one is tried."""
    with folder() as place:
        template(place)
        for operation in OPERATIONS:
            outcome = Outcome(f"a call of Python's fails in: {operation.name}")
            for call in PYTHON:
                for code in CODES:
                    for turn in range(0, MOST_CALLS, every):
                        if not _one(operation, place, outcome, *_in_python(call, turn, code)):
                            break
            yield outcome


def _in_python(call: str, turn: int, code: int) -> tuple[Callable[[Path], None], Callable[[], bool], str]:
    real = getattr(os, call)
    calls = 0

    def failing(*given: object, **named: object) -> object:
        nonlocal calls
        calls += 1
        if calls == turn + 1:
            raise OSError(code, os.strerror(code))
        return real(*given, **named)

    patch = mock.patch.object(os, call, failing)

    def stop() -> bool:
        patch.stop()
        return calls > turn

    return (lambda _folder: patch.start() and None), stop, f"{call} {turn} {errno.errorcode[code]}"


def _one(
    operation: Operation,
    source: Path,
    outcome: Outcome,
    start: Callable[[Path], None],
    stop: Callable[[], bool],
    what: str,
) -> bool:
    """Do it with one fault; False where there was no such call."""
    with folder(quick=True) as place:
        shutil.copytree(source, place, dirs_exist_ok=True)
        operation.begin(place)
        said = Said([], [], [])
        words = ""
        start(place)
        try:
            operation.act(place, said)
        except REFUSALS:
            pass  # said in words
        except Exception as error:
            words = f"{type(error).__name__}: {error}"
        finally:
            hit = stop()
        if not hit:
            return False
        outcome.tried += 1
        try:
            words = words or wrong_after(operation, place, said)
        except Exception as error:
            words = f"afterwards {type(error).__name__}: {error}"
        if words:
            outcome.fell.append(f"{what}: {words}")
        return True


def faults_of_all(share: float, names: str = "") -> Iterator[Outcome]:
    """Every call on the disk, SQLite's too, fails once in each way; with no C compiler nothing is tried."""
    if shim.built() is None:
        yield Outcome("any call on the disk fails", note="not tried: no C compiler, or not Linux")
        return
    for line in shim.run("tests.destroy.disk", str(share), names).splitlines():
        yield Outcome(**json.loads(line))


WAYS: tuple[tuple[str, int, bool], ...] = (
    ("full", errno.ENOSPC, False),
    ("EIO", errno.EIO, False),
    ("EACCES", errno.EACCES, False),
    ("EROFS", errno.EROFS, False),
    ("short write", shim.SHORT, False),
    ("torn write", shim.TORN, False),
    ("full from then on", errno.ENOSPC, True),
    ("EIO from then on", errno.EIO, True),
)


def _faults_here(share: float, names: str) -> Iterator[Outcome]:
    layer = shim.Layer()
    every = max(1, round(1 / share)) if share else MOST_CALLS
    with folder() as source:
        template(source)
        for operation in OPERATIONS:
            if names and operation.name not in names.split(","):
                continue
            outcome = Outcome(f"any call on the disk fails in: {operation.name}")
            for number, (name, how, stays) in enumerate(WAYS):
                for turn in range(number % every, MOST_CALLS, every):

                    def start(place: Path, turn: int = turn, how: int = how, stays: bool = stays) -> None:
                        layer.below(place)
                        layer.arm(turn, how, stays)

                    def stop(turn: int = turn) -> bool:
                        return layer.disarm() > turn

                    if not _one(operation, source, outcome, start, stop, f"{name} at call {turn}"):
                        break
            yield outcome


@contextmanager
def small_filesystem(size: str) -> Iterator[Path | None]:
    """A file system of this size; None where none may be mounted."""
    with folder() as place:
        small = place / "small"
        small.mkdir()
        done = subprocess.run(
            ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(small)],
            capture_output=True,
            check=False,
        )
        if done.returncode:
            yield None
            return
        try:
            yield small
        finally:
            subprocess.run(["umount", "-l", str(small)], check=True)


def full_filesystems(times: int) -> Iterator[Outcome]:
    """Answers are given until a small file system is full, then it is emptied: none that was kept is lost."""
    outcome = Outcome("a small file system fills up")
    for number in range(times):
        room = 400 + 37 * number % 1500
        with small_filesystem(f"{room}k") as small:
            if small is None:
                outcome.note = "not tried: nothing may be mounted here"
                break
            outcome.tried += 1
            if words := _fill(small):
                outcome.fell.append(f"{room} KiB: {words}")
    yield outcome


def _fill(small: Path) -> str:
    said, refused = [], 0
    ballast = small / "ballast"
    try:
        with open_log(small / LOG) as log:
            for number in range(400):
                try:
                    log.append(answer(number))
                except REFUSALS as error:
                    refused += 1
                    if "full" not in str(error):
                        return f"not said to be full: {error}"
                    if not log.kept:
                        return "not kept"
                said.append(answer(number).id)
                if refused > 5:
                    break
    except REFUSALS as error:
        if said or "full" not in str(error):
            return f"at the start: {error}"
        return ""
    ballast.unlink(missing_ok=True)
    subprocess.run(["mount", "-o", "remount,size=64m", str(small)], check=True)
    there = ids(small / LOG)
    return "" if sorted(there) == sorted(said) else f"{len(said)} said, {len(there)} there, {refused} refused"


def main() -> None:
    for outcome in _faults_here(float(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else ""):
        print(json.dumps(vars(outcome)), flush=True)


if __name__ == "__main__":
    main()
