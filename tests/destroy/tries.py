"""Each way of destroying, as a function of how often: gives what was tried and what fell."""

from __future__ import annotations

import contextlib
import errno
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from unittest import mock

from drillapp.decks.read import read_deck
from drillapp.interop import midi, musicxml
from drillapp.interop.errors import InteropError
from drillapp.learning.prior import Prior
from drillapp.learning.prior_file import read_prior, write_prior
from drillapp.music import PatternError, parse
from drillapp.records import HandInError, LogError, open_log

from .material import answer, filled, ids

ROOT = Path(__file__).resolve().parents[2]
KINDS = ("append", "hand in", "collect", "open", "migrate", "take up")


@dataclass
class Outcome:
    """What one way of destroying came to; ``fell`` says of each that fell how."""

    what: str
    tried: int = 0
    fell: list[str] = field(default_factory=list)


@contextlib.contextmanager
def _folder() -> Iterator[Path]:
    folder = Path(tempfile.mkdtemp(prefix="destroy-"))
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def kills(times: int, seed: int = 1) -> Iterator[Outcome]:
    """SIGKILL at random moments; every answer that was said to be on disk is there exactly once."""
    rng = random.Random(seed)
    for kind in KINDS:
        outcome = Outcome(f"killed while it did: {kind}")
        with _folder() as folder:
            filled(folder / "teacher.sqlite", range(900_000, 900_030))
            with open_log(folder / "teacher.sqlite") as log:
                log.hand_in(folder / "in.handin")
            said: set[int] = set()
            for _ in range(times):
                outcome.tried += 1
                said |= _one_kill(kind, folder, max(said, default=-1) + 2, rng)
                there = ids(folder / "practice.sqlite")
                lost = {f"answer-{number:06}" for number in said} - set(there)
                if lost or len(there) != len(set(there)):
                    outcome.fell.append(f"{len(lost)} lost, {len(there) - len(set(there))} twice")
                    break
                if kind == "hand in" and (folder / "out.handin").exists():
                    with open_log(folder / "check.sqlite") as check:
                        check.collect(folder / "out.handin")
        yield outcome


def _one_kill(kind: str, folder: Path, start: int, rng: random.Random) -> set[int]:
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.destroy.worker", kind, str(folder), str(start)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env={**os.environ, "XDG_STATE_HOME": str(folder / "state")},
    )
    assert child.stdout is not None
    child.stdout.readline()
    with contextlib.suppress(subprocess.TimeoutExpired):
        child.wait(rng.uniform(0.0, 0.15))
    child.send_signal(signal.SIGKILL)
    rest = child.stdout.read()
    child.wait()
    return {int(line) for line in rest.split("\n")[:-1] if line.strip().isdigit()}


FAULTS = (errno.ENOSPC, errno.EIO, errno.EACCES, errno.EROFS)
CALLS = ("write", "fsync", "replace", "rename", "open", "unlink")


def faults() -> Iterator[Outcome]:
    """Every single call of the operating system that Python makes in an operation fails once, in each way."""
    for name, act in _operations().items():
        outcome = Outcome(f"one call of the disk fails in: {name}")
        for call in CALLS:
            for code in FAULTS:
                for turn in range(60):
                    if not _fails_at(call, turn, code, act, outcome):
                        break
        yield outcome


def _operations() -> dict[str, Callable[[Path], None]]:
    def append(folder: Path) -> None:
        with open_log(folder / "practice.sqlite") as log:
            log.append(answer(500))

    def hand_in(folder: Path) -> None:
        with open_log(folder / "practice.sqlite") as log:
            log.hand_in(folder / "out.handin")

    def collect(folder: Path) -> None:
        with open_log(folder / "practice.sqlite") as log:
            log.collect(folder / "in.handin")

    def rescue(folder: Path) -> None:
        path = folder / "practice.sqlite"
        path.write_bytes(b"\xff" * 50 + path.read_bytes()[50:])
        open_log(path).close()

    return {"append": append, "hand in": hand_in, "collect": collect, "rescue": rescue}


def _fails_at(call: str, turn: int, code: int, act: Callable[[Path], None], outcome: Outcome) -> bool:
    """Do it with call number ``turn`` failing; False where there was no such call."""
    with _folder() as folder, mock.patch.dict(os.environ, {"XDG_STATE_HOME": str(folder / "state")}):
        path = folder / "practice.sqlite"
        filled(path, range(3))
        filled(folder / "student.sqlite", range(100, 103))
        with open_log(folder / "student.sqlite") as student:
            student.hand_in(folder / "in.handin")
        calls = 0
        real = getattr(os, call)

        def failing(*given: object, **named: object) -> object:
            nonlocal calls
            calls += 1
            if calls == turn + 1:
                raise OSError(code, os.strerror(code))
            return real(*given, **named)

        with mock.patch.object(os, call, failing):
            try:
                act(folder)
            except LogError:
                pass  # said in words
            except Exception as error:
                outcome.fell.append(f"{call} {turn} {os.strerror(code)}: {type(error).__name__}: {error}")
        if calls <= turn:
            return False
        outcome.tried += 1
        there = ids(path)
        if not {f"answer-{number:06}" for number in range(3)} <= set(there) or len(there) != len(set(there)):
            outcome.fell.append(f"{call} {turn} {os.strerror(code)}: {len(there)} answers left")
        return True


def mutations(times: int, seed: int = 2) -> Iterator[Outcome]:
    """Valid inputs with bytes changed, cut, doubled: taken or refused in words, and nothing else."""
    with _folder() as folder:
        filled(folder / "student.sqlite", range(5))
        with open_log(folder / "student.sqlite") as log:
            log.hand_in(folder / "file")
        patterns = [parse("D- DU -U DU | D-DU X-DU D-DU X-DU"), parse("DUD DUD", "6/8")]
        score = musicxml.dumps(patterns).encode()
        deck = next((ROOT / "decks").glob("*.toml")).read_bytes()
        with open_log(folder / "teacher.sqlite") as teacher:

            def collect(data: bytes) -> None:
                (folder / "changed").write_bytes(data)
                teacher.collect(folder / "changed")

            def text(data: bytes) -> str:
                return data.decode("utf-8", "replace")

            seeds: list[tuple[str, bytes, Callable[[bytes], object], tuple[type[Exception], ...]]] = [
                ("pattern text", b"D- DU -U DU | >D. XU -- du", lambda d: parse(text(d)), (PatternError,)),
                ("a deck", deck, lambda d: read_deck(text(d), "a", "a"), ()),
                ("MusicXML", score, musicxml.loads, (InteropError,)),
                ("MIDI", midi.dumps(patterns), midi.loads, (InteropError,)),
                ("a hand-in", (folder / "file").read_bytes(), collect, (HandInError,)),
                ("a prior", write_prior(Prior()).encode(), lambda d: read_prior(text(d)), (ValueError,)),
            ]
            for name, seed_data, take, refusals in seeds:
                rng = random.Random(seed)
                outcome = Outcome(f"changed input: {name}")
                for _ in range(times):
                    outcome.tried += 1
                    changed = mutated(seed_data, rng)
                    try:
                        take(changed)
                    except refusals:
                        continue
                    except Exception as error:
                        outcome.fell.append(f"{type(error).__name__}: {error}: {changed[:80]!r}")
                yield outcome


def mutated(data: bytes, rng: random.Random) -> bytes:
    """The bytes with one to four changes."""
    changed = bytearray(data)
    for _ in range(rng.randint(1, 4)):
        place = rng.randrange(len(changed) + 1)
        length = rng.choice((1, 1, 2, 8, 64))
        kind = rng.randrange(5)
        if kind == 0:
            changed[place : place + length] = rng.randbytes(length)
        elif kind == 1:
            del changed[place : place + length]
        elif kind == 2:
            changed[place:place] = changed[place : place + length] * rng.choice((1, 2, 50))
        elif kind == 3:
            changed[place:place] = rng.choice(
                (b"9" * 30, b"1e999", b"\0", b"-1", b"NaN", b"\xff", b"[[", b".")
            )
        else:
            del changed[max(place, 1) :]
    return bytes(changed)


def damages(times: int, seed: int = 3) -> Iterator[Outcome]:
    """Bytes of the log, and of a journal that a kill left, are changed: the log opens, or says why not.

    Of the answers, at most those that the damage hit are gone, and then it is said.
    """
    rng = random.Random(seed)
    with _folder() as folder:
        path = folder / "practice.sqlite"
        filled(path, range(40))
        _one_kill("append", folder, 1000, rng)
        start = {side: (folder / f"practice.sqlite{side}").read_bytes() for side in ("", "-wal")}
        whole = set(ids(path))
        for side in ("", "-wal"):
            outcome = Outcome(f"damaged: {'the log' if not side else 'its journal'}")
            for _ in range(times):
                outcome.tried += 1
                with _folder() as place:
                    for each, data in start.items():
                        changed = bytearray(data)
                        if each == side:
                            at = rng.randrange(max(1, len(changed) - 4))
                            changed[at : at + 4] = rng.randbytes(4)
                        (place / f"practice.sqlite{each}").write_bytes(changed)
                    fell = _opens(place / "practice.sqlite", whole)
                if fell:
                    outcome.fell.append(f"at {at}: {fell}")
            yield outcome


def _opens(path: Path, whole: set[str]) -> str:
    try:
        with open_log(path) as log:
            there = [one.id for one in log.answers()]
            notices = log.notices
            log.append(answer(999_999))
    except LogError as error:
        return f"refused: {error}"
    except Exception as error:
        return f"{type(error).__name__}: {error}"
    lost = whole - set(there)
    if len(there) != len(set(there)):
        return "an answer twice"
    if len(lost) > 3:
        return f"{len(lost)} answers lost"
    return "" if not lost or notices else f"{len(lost)} lost without a word"
