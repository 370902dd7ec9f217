"""SIGKILL at random moments of a process that works on a log; what it said to be on disk is there once."""

from __future__ import annotations

import contextlib
import gzip
import os
import random
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from drillapp.decks.load import load_deck
from drillapp.desk.desk import TeachersDesk
from drillapp.records import HandInError, open_log
from drillapp.records.set_work import open_work

from .material import NOON, answer, filled, ids
from .operations import LOG, PIN, ROLL
from .outcome import ROOT, Outcome, folder
from .worker import WORK

LONGEST = 0.15
"""Seconds until the kill, at most; a worker does each of its works some hundred times a second."""


def kills(times: int, seed: int = 1) -> Iterator[Outcome]:
    """So many kills of each kind of work."""
    rng = random.Random(seed)
    for kind in WORK:
        outcome = Outcome(f"killed while it did: {kind}")
        with folder() as place:
            filled(place / "teacher.sqlite", range(900_000, 900_030))
            with open_log(place / "teacher.sqlite") as log:
                log.hand_in(place / "in.handin")
            (place / "handed").mkdir()
            said: set[int] = set()
            gone: set[int] = set()
            for _ in range(times):
                outcome.tried += 1
                kept, taken_back = kill_one(kind, place, max(said | gone, default=-1) + 10, rng)
                said |= kept
                gone |= taken_back
                if words := _wrong(kind, place, said, gone):
                    outcome.fell.append(words)
                    break
        yield outcome


def kill_one(kind: str, place: Path, start: int, rng: random.Random) -> tuple[set[int], set[int]]:
    """Begin a worker and kill it; gives the answers that it said to be on disk, and to be taken back."""
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.destroy.worker", kind, str(place), str(start)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env={**os.environ, "XDG_STATE_HOME": str(place / "state")},
    )
    assert child.stdout is not None
    if child.stdout.readline() != "ready\n":
        raise RuntimeError(f"the worker does not begin: {kind}")
    with contextlib.suppress(subprocess.TimeoutExpired):
        child.wait(rng.uniform(0.0, LONGEST))
    child.send_signal(signal.SIGKILL)
    # The last line may be cut off.
    lines = child.stdout.read().split("\n")[:-1]
    if child.wait() != -signal.SIGKILL:
        raise RuntimeError(f"the worker fell by itself: {kind}")
    kept, taken_back = set(), set()
    for line in lines:
        (taken_back if line.startswith("-") else kept).add(abs(int(line)))
    return kept, taken_back


def _wrong(kind: str, place: Path, said: set[int], gone: set[int]) -> str:
    there = ids(place / LOG)
    lost = {answer(number).id for number in said - gone} - set(there)
    # One that was being taken back when the kill came may be either.
    unsure = {answer(number).id for number in said if kind in ("take back", "delete") and number % 2}
    if lost - unsure or len(there) != len(set(there)):
        return f"{len(lost)} lost, {len(there) - len(set(there))} twice"
    if {answer(number).id for number in gone} & set(there):
        return "one that was taken back is there"
    handed_in = place / "out.handin"
    if handed_in.exists():
        try:
            with open_log(place / "check.sqlite") as check:
                check.collect(handed_in)
        except (HandInError, gzip.BadGzipFile) as error:
            return f"half a hand-in: {error}"
    deck = place / "deck.toml"
    if deck.exists() and load_deck(deck)[0] is None:
        return "half a deck"
    if (place / "work.setwork").exists():
        open_work(place / "work.setwork")
    with open_log(place / LOG) as log:
        desk = TeachersDesk(log, place, lambda: NOON)
        if desk.lock.is_set:
            desk.lock.open(PIN, NOON)
        desk.table(None)
        for one in log.classes.all(archived=True):
            roll = sum(1 + len(student.joined) for student in desk.students(one.id))
            if roll not in (0, len(ROLL)):
                return f"{roll} of the roll"
    # Of each place at most what the last kill left half written; the other logs are new ones each time.
    parts = [
        one.name
        for one in place.iterdir()
        if one.name.endswith(".part") and not one.name.startswith("other-")
    ]
    return f"left behind: {parts}" if len(parts) > 3 else ""
