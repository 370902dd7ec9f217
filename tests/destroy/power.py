"""The power goes: what was written is recorded, and of what was not synchronised only a part is on disk.

What may be there after a power cut, from memory of T. S. Pillai and others, "All file systems are not created
equal" (OSDI 2014): of each file all that was written before its last fsync, and any of the rest, a write cut
at any sector of 512 bytes; of a folder all names as of its last fsync, and of later changes the first few.
"""

from __future__ import annotations

import os
import random
import struct
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from drillapp.records import LogError, open_log

from . import shim
from .material import answer, ids
from .operations import LOG, OLD
from .outcome import Outcome, folder

_HEAD = struct.Struct("=cQQI")
_SECTOR = 512


@dataclass(frozen=True)
class Call:
    """One recorded call: kind as in shim.c, the file's number, a place or size, and bytes."""

    kind: str
    file: int
    place: int
    data: bytes


def calls_in(record: bytes) -> list[Call]:
    found, at = [], 0
    while at < len(record):
        kind, file, place, size = _HEAD.unpack_from(record, at)
        at += _HEAD.size
        found.append(Call(kind.decode(), file, place, record[at : at + size]))
        at += size
    return found


@dataclass
class File:
    """Content that is on disk, and calls that may be."""

    safe: bytearray = field(default_factory=bytearray)
    open: list[Call] = field(default_factory=list)

    def settle(self) -> None:
        for call in self.open:
            _do(self.safe, call)
        self.open.clear()

    def left(self, rng: random.Random) -> bytes:
        """What may be there of it."""
        content = bytearray(self.safe)
        way = rng.choice(("none", "all", "some", "first"))
        keep = len(self.open) if way == "all" else 0 if way == "none" else rng.randint(0, len(self.open))
        for number, call in enumerate(self.open):
            here = rng.random() < 0.5 if way == "some" else number < keep
            cut = way == "first" and number == keep and call.kind == "W"
            if cut:
                size = rng.randint(0, len(call.data)) // _SECTOR * _SECTOR
                _do(content, Call("W", call.file, call.place, call.data[:size]))
            elif here:
                _do(content, call)
        return bytes(content)


def _do(content: bytearray, call: Call) -> None:
    if call.kind == "T":
        del content[call.place :]
        content.extend(bytes(call.place - len(content)))
        return
    if call.place > len(content):
        content.extend(bytes(call.place - len(content)))
    content[call.place : call.place + len(call.data)] = call.data


def after_power_cut(calls: list[Call], until: int, rng: random.Random) -> tuple[dict[str, bytes], set[int]]:
    """The files that may be there after so many calls, and the answers that were said to be on disk."""
    files: dict[int, File] = {}
    names: dict[str, File] = {}
    open_names: list[tuple[str, str, File | None]] = []
    said = set()
    for call in calls[:until]:
        if call.kind == "M":
            said.add(call.file)
        elif call.kind == "C":
            files[call.file] = File()
            open_names.append(("", Path(call.data.decode()).name, files[call.file]))
        elif call.kind in "WT":
            files[call.file].open.append(call)
        elif call.kind == "S":
            files[call.file].settle()
        elif call.kind == "D":
            _change(names, open_names)
            open_names.clear()
        elif call.kind == "R":
            old, new = (Path(part.decode()).name for part in call.data.split(b"\0"))
            open_names.append((old, new, None))
        elif call.kind == "U":
            open_names.append((Path(call.data.decode()).name, "", None))
    _change(names, open_names[: rng.randint(0, len(open_names))])
    # A name that is on disk has at least an empty file, and the same file for all its names.
    return {name: file.left(rng) for name, file in names.items()}, said


def _change(names: dict[str, File], changes: list[tuple[str, str, File | None]]) -> None:
    for old, new, made in changes:
        file = made if made is not None else names.pop(old, None)
        if new and file is not None:
            names[new] = file


STORIES = ("from nothing", "kept on", "closed and opened", "rescued", "brought up to date", "handed in")


def power_cuts(times: int, seed: int = 5) -> Iterator[Outcome]:
    """Power cuts at any call: every answer that was said to be on disk is there exactly once."""
    if shim.built() is None:
        yield Outcome("the power goes", note="not tried: no C compiler, or not Linux")
        return
    for story in STORIES:
        with folder() as place:
            shim.run("tests.destroy.power", story, str(place))
            calls = calls_in((place / "record").read_bytes())
            outcome = Outcome(f"the power goes: {story}", note=f"{len(calls)} calls recorded")
            rng = random.Random(seed)
            for _ in range(times):
                outcome.tried += 1
                until = rng.randint(0, len(calls))
                files, said = after_power_cut(calls, until, rng)
                if words := _opens(files, said):
                    outcome.fell.append(f"after call {until}: {words}")
        yield outcome


def _opens(files: dict[str, bytes], said: set[int]) -> str:
    with folder(quick=True) as place:
        for name, data in files.items():
            if not name.endswith("-shm"):
                (place / name).write_bytes(data)
        try:
            there = ids(place / LOG)
            if (place / "out.handin").exists():
                with open_log(place / "teacher.sqlite") as teacher:
                    teacher.collect(place / "out.handin")
        except LogError as error:
            return f"refused: {error}"
        except Exception as error:
            return f"{type(error).__name__}: {error}"
        lost = {answer(number).id for number in said} - set(there)
        if lost or len(there) != len(set(there)):
            return f"{len(lost)} lost of {len(said)}, {len(there) - len(set(there))} twice, {sorted(files)}"
    return ""


def _tell(story: str, place: Path) -> None:
    layer = shim.Layer()
    work = place / "work"
    work.mkdir()
    layer.below(work)
    layer.record(place / "record")
    path = work / LOG

    def give(log: object, number: int) -> None:
        log.append(answer(number))  # type: ignore[attr-defined]
        layer.mark(number)

    if story == "brought up to date":
        _begin_older(path, layer)
    if story == "closed and opened":
        for start in range(0, 40, 4):
            with open_log(path) as log:
                for number in range(start, start + 4):
                    give(log, number)
        return
    with open_log(path) as log:
        for number in range(200 if story == "kept on" else 30):
            give(log, number)
        if story == "handed in":
            for number in range(300, 304):
                give(log, number)
                log.hand_in(work / "out.handin")
    if story == "rescued":
        # The damage itself is on disk; the rescue is what the power cuts off.
        with path.open("r+b", buffering=0) as file:
            file.write(b"\xff" * 50)
            os.fsync(file.fileno())
        with open_log(path) as log:
            give(log, 400)


def _begin_older(path: Path, layer: shim.Layer) -> None:
    with path.open("wb", buffering=0) as file:
        file.write((OLD / "schema-1.sqlite").read_bytes())
        os.fsync(file.fileno())
    handle = os.open(path.parent, os.O_RDONLY)
    os.fsync(handle)
    os.close(handle)
    for number in range(6):
        layer.mark(number)


if __name__ == "__main__":
    _tell(sys.argv[1], Path(sys.argv[2]))
