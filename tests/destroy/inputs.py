"""Everything that comes from outside, changed: taken, or refused in words, within bounds of time and memory.

A row of INPUTS says how one kind of input is made and what takes it; another kind is one row more.
"""

from __future__ import annotations

import contextlib
import gzip
import hashlib
import io
import json
import os
import random
import resource
import signal
import subprocess
import sys
import time
import traceback
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from drillapp.__main__ import main as command_line
from drillapp.decks.load import load_decks
from drillapp.decks.read import read_deck
from drillapp.desk.desk import TeachersDesk, signs_to_set
from drillapp.desk.roll import MOST_NAMES, RollRefused, roll_in_file
from drillapp.interop import midi, musicxml
from drillapp.interop.errors import InteropError
from drillapp.learning.prior import Prior
from drillapp.learning.prior_file import read_prior, write_prior
from drillapp.music import Meter, PatternError, parse
from drillapp.practice.opening import LOG_FILE, open_practice
from drillapp.records import HandInError, SetWork, SetWorkError, open_log
from drillapp.records.lines import compact, seal
from drillapp.records.set_work import open_work, read_work, work_text
from drillapp.records.settings import SETTINGS

from .material import NOON, answer
from .mutate import as_json, changed_bytes, changed_json, changed_words
from .outcome import ROOT, Outcome, folder

SECONDS = 2.0
MEGABYTES = 300
FOUND = Path(__file__).with_name("found")
"""Inputs that fell once: a folder for each kind, a file for each input."""

Take = Callable[[bytes], object]


@dataclass(frozen=True)
class Input:
    """``seeds``: valid ones; ``take`` is made for a folder, and refuses with ``refusals`` alone.

    ``weight``: how many are tried, against the others.
    """

    name: str
    seeds: Callable[[Path], list[bytes]]
    take: Callable[[Path], Take]
    refusals: tuple[type[Exception], ...]
    weight: float
    change: Callable[[bytes, random.Random], bytes] = changed_bytes


def _text(data: bytes) -> str:
    return data.decode("utf-8", "replace")


def _patterns() -> list[Any]:
    return [parse("D- DU -U DU | D-DU X-DU D-DU X-DU"), parse("DUD DUD", "6/8"), parse(">D. XU -- D-DU")]


def _pattern_text(data: bytes) -> object:
    text, _, meter = _text(data).partition("@")
    return parse(text, Meter.parse(meter).text if meter else "4/4")


def _deck(data: bytes) -> object:
    deck, faults = read_deck(_text(data), "a", "a")
    assert (deck is None) == bool(faults)
    return deck


def _decks(_folder: Path) -> list[bytes]:
    return [path.read_bytes() for path in sorted((ROOT / "decks").glob("*.toml"))]


def _mxl(place: Path) -> list[bytes]:
    musicxml.dump(_patterns(), place / "seed.mxl")
    return [(place / "seed.mxl").read_bytes()]


def _handed_in(place: Path) -> list[bytes]:
    if not (place / "seed.handin").exists():
        with open_log(place / "student.sqlite") as log:
            for number in range(5):
                log.append(answer(number, extra={"hits": [[0.5, "down"], [1.5, "up"]], "deck": "one"}))
            log.take_back(answer(2), NOON + 100)
            log.hand_in(place / "seed.handin")
    return [(place / "seed.handin").read_bytes()]


def _handed_in_lines(place: Path) -> list[bytes]:
    lines = [json.loads(line) for line in gzip.decompress(_handed_in(place)[0]).splitlines()]
    return [as_json(lines)]


def _sealed_again(data: bytes, rng: random.Random) -> bytes:
    """Lines of a hand-in with other values, every check value and digest right again."""
    header, *rows, trailer = json.loads(data)
    for row in rows:
        row.pop("crc")
    before = [header, *rows]
    changed = changed_json(before, rng)
    if not isinstance(changed, list) or not changed:
        return gzip.compress(as_json(changed), 1)
    lines = []
    for number, row in enumerate(changed):
        if isinstance(row, dict) and isinstance(row.get("answer"), dict) and row not in before:
            row["answer"].setdefault("id", "")
            if isinstance(row["answer"]["id"], str):
                row["answer"]["id"] += (
                    f"-{rng.getrandbits(60)}"  # another answer, so that it is not refused as one altered
                )
        try:
            lines.append(seal(row) if number and isinstance(row, dict) else compact(row))
        except (ValueError, TypeError):
            lines.append(json.dumps(row))
    whole = "".join(f"{line}\n" for line in lines).encode()
    learners = sum(isinstance(row, dict) and "learner" in row for row in changed)
    end = {
        "learners": learners,
        "answers": len(changed) - 1 - learners,
        "sha256": hashlib.sha256(whole).hexdigest(),
    }
    return gzip.compress(whole + compact({**trailer, **end}).encode() + b"\n", 1)


def _collect(place: Path) -> Take:
    count = 0

    def take(data: bytes) -> None:
        nonlocal count
        count += 1
        path = place / "teacher" / LOG_FILE
        if count % 100 == 1:
            for old in path.parent.glob("*"):
                old.unlink()
        (place / "changed").write_bytes(data)
        with open_log(path) as log:
            collected = log.collect(place / "changed")
            for learner in collected.learners:
                log.entries(learner)
                log.days(learner)
                log.met(learner)
        if collected.new and not count % 50:
            practice = open_practice(path.parent, load_decks, lambda: NOON, seed=1)
            with practice.log:
                if here := [one for one in practice.who.all() if one.id in collected.learners]:
                    practice.who.choose(here[0].id)
                practice.today()
                practice.progress()

    return take


def _at_the_desk(place: Path) -> Take:
    """What a changed hand-in does to the class that it comes to."""
    inside = place / "desk"
    inside.mkdir()
    count = 0

    def take(data: bytes) -> None:
        nonlocal count
        count += 1
        if count % 100 == 1:
            for old in inside.glob("*"):
                old.unlink()
        (inside / "changed.handin").write_bytes(data)
        with open_log(inside / LOG_FILE) as log:
            desk = TeachersDesk(log, inside, lambda: NOON + 1000)
            (line,) = desk.collect([inside])
            if line.fault:
                raise line.fault
            look_at_all(desk)

    return take


def look_at_all(desk: TeachersDesk) -> None:
    """All that the desk's screens ask for."""
    for one in desk.lines():
        key = one.school_class.id if one.school_class else None
        signs_to_set(desk.table(key).table)
        for student in desk.students(key):
            desk.figures(student)
            desk.work_of(student)
    desk.older_than(0.001)
    desk.waiting()


def _works(_folder: Path) -> list[bytes]:
    until = date.fromtimestamp(NOON + 500_000)
    full = SetWork("4b", NOON, until, 10, ("folk",), ("tie", "rest"), ("staff",), 0.8, "Slowly, please.")
    return [work_text(full).encode(), work_text(SetWork("Ana", NOON, until)).encode()]


def _set_work(place: Path) -> Take:
    inside = place / "work"
    inside.mkdir()
    count = 0

    def take(data: bytes) -> None:
        nonlocal count
        count += 1
        (inside / "changed").write_bytes(data)
        work = open_work(inside / "changed")
        assert read_work(work_text(work)) == work
        if not count % 40:
            practice = open_practice(inside, load_decks, lambda: NOON + 1000, seed=1)
            with practice.log:
                practice.take_set_work(work)
                practice.today()
                sitting = practice.start()
                task = sitting.next()
                if task is not None:
                    sitting.answer(task, None, 2.0)
                practice.progress()
                practice.log.set_work.end(work.id)

    return take


def _rolls(_folder: Path) -> list[bytes]:
    names = "Mia Berg\nTom Kane\nLéa Olsen\n"
    table = 'Surname;First name\nBerg;Mia\n"Kane; jr";Tom\nOlsen;Léa\n'
    return [names.encode(), table.encode(), table.encode("utf-16"), table.replace(";", ",").encode("cp1252")]


def _roll(place: Path) -> Take:
    log = open_log(place / "roll.sqlite")
    count = 0

    def take(data: bytes) -> None:
        nonlocal count
        count += 1
        (place / "changed").write_bytes(data)
        roll = roll_in_file(place / "changed")
        assert 0 < len(roll.names) <= MOST_NAMES
        if not count % 200:
            for one in log.classes.students():
                log.classes.remove_student(one.id)
            log.classes.add_students(roll.names, None)
            assert len(log.classes.students()) == len(roll.names)

    return take


def _prior(data: bytes) -> object:
    from drillapp.practice.fitted import _try

    prior = read_prior(_text(data))
    _try(prior)
    return prior


def _changed_prior(data: bytes, rng: random.Random) -> bytes:
    return as_json(changed_json(json.loads(data), rng)) if rng.random() < 0.8 else changed_bytes(data, rng)


def _settings_seed(_folder: Path) -> list[bytes]:
    return [as_json({setting.name: {"value": setting.default} for setting in SETTINGS})]


def _changed_work(data: bytes, rng: random.Random) -> bytes:
    return as_json(changed_json(json.loads(data), rng)) if rng.random() < 0.7 else changed_bytes(data, rng)


def _changed_settings(data: bytes, rng: random.Random) -> bytes:
    return as_json(changed_json(json.loads(data), rng))


def _settings(place: Path) -> Take:
    log = open_log(place / "settings.sqlite")
    learner = log.learners.add("Ana", now=1.0).id

    def take(data: bytes) -> None:
        stored = json.loads(data)
        if not isinstance(stored, dict):
            return
        with log._store.writing() as connection:
            connection.execute("DELETE FROM settings")
            for name, value in stored.items():
                text = json.dumps(value)
                with contextlib.suppress(UnicodeEncodeError):
                    connection.executemany(
                        "INSERT INTO settings VALUES (?, ?, ?)", [("", name, text), (learner, name, text)]
                    )
        for setting in SETTINGS:
            value = log.settings.get(setting.name, learner if setting.of == "learner" else None)
            assert type(value) is type(setting.default) or isinstance(value, float)
        for notice in log.settings.notices():
            str(notice)

    return take


COMMANDS = (
    ["check", "deck.toml"],
    ["convert", "a.mid", "new.toml"],
    ["convert", "deck.toml", "new.musicxml"],
    ["convert", "a.musicxml", "new.mid", "--title", "One"],
    ["collect", "--data", "data", "in.handin"],
    ["hand-in", "--data", "data", "--learner", "Ana", "-o", "out.handin"],
    ["fit", "log.csv", "--out", "new.json"],
    [
        "sheet",
        "D- DU -U DU",
        "--meter",
        "4/4",
        "--tempo",
        "90",
        "--layers",
        "letters,counts",
        "-o",
        "out.svg",
    ],
    ["sheet", "deck.toml", "--paper", "A4", "--answer-key", "-o", "out.pdf"],
    [
        "sound",
        "D- DU -U DU",
        "--tempo",
        "90",
        "--rate",
        "8000",
        "--count-in",
        "1",
        "--times",
        "1",
        "-o",
        "out.wav",
    ],
    ["statistics", "deck.toml"],
)
"""Without a verb the app opens; ``simulate`` is meant to compute for long."""


def _commands(_folder: Path) -> list[bytes]:
    return [as_json(command) for command in COMMANDS]


def _changed_command(data: bytes, rng: random.Random) -> bytes:
    return as_json(changed_words(json.loads(data), rng))


def _command(place: Path) -> Take:
    inside = place / "commands"
    (inside / "data").mkdir(parents=True)
    (inside / "deck.toml").write_text('title = "One"\n[[pattern]]\ntitle = "Steps"\ntext = "D D D D"\n')
    (inside / "log.csv").write_text("learner,seconds,features,correct\n" + "ana,1,tie,1\nana,60,tie,0\n" * 20)
    midi.dump(_patterns()[:1], inside / "a.mid")
    musicxml.dump(_patterns()[:1], inside / "a.musicxml")
    (inside / "in.handin").write_bytes(_handed_in(place)[0])
    with open_log(inside / "data" / LOG_FILE) as log:
        log.learners.add("Ana", now=1.0)
    os.chdir(inside)

    def take(data: bytes) -> None:
        words = json.loads(data)
        if not words or words[0] not in {command[0] for command in COMMANDS}:
            return
        if [word for word in words if word != "--"] == ["statistics"]:
            return  # it computes over all that ships, whatever is given
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()) as said:
            code = command_line(words)
        assert code in (0, 1, 2), code
        assert code == 0 or said.getvalue() or words[0] == "check", "refused without a word"

    return take


def _of(take: Take) -> Callable[[Path], Take]:
    return lambda _folder: take


INPUTS: tuple[Input, ...] = (
    Input(
        "pattern text",
        lambda _f: [b"D- DU -U DU | >D. XU -- du", b"DUD DUD@6/8", b"D-DU X-DU D-DU D-DU", b"D D D@2+1/4"],
        _of(_pattern_text),
        (PatternError,),
        40,
    ),
    Input("a deck", _decks, _of(_deck), (), 1),
    Input(
        "MusicXML",
        lambda _f: [musicxml.dumps(_patterns()).encode()],
        _of(musicxml.loads),
        (InteropError,),
        15,
    ),
    Input("compressed MusicXML", _mxl, _of(musicxml.loads), (InteropError,), 15),
    Input("MIDI", lambda _f: [midi.dumps(_patterns())], _of(midi.loads), (InteropError,), 15),
    Input("a hand-in", _handed_in, _collect, (HandInError,), 4),
    Input("a hand-in, sealed again", _handed_in_lines, _collect, (HandInError,), 4, _sealed_again),
    Input(
        "a prior",
        lambda _f: [write_prior(Prior()).encode()],
        _of(_prior),
        (ValueError, ArithmeticError),
        3,
        _changed_prior,
    ),
    Input("settings", _settings_seed, _settings, (), 3, _changed_settings),
    Input("a hand-in, at the desk", _handed_in_lines, _at_the_desk, (HandInError,), 2, _sealed_again),
    Input("set work", _works, _set_work, (SetWorkError,), 4, _changed_work),
    Input("a roll", _rolls, _roll, (RollRefused,), 6),
    Input("the command line", _commands, _command, (), 0.5, _changed_command),
)


def mutations(times: int, seed: int = 2, only: str = "") -> Iterator[Outcome]:
    """So many changed inputs of all kinds together, each kind in a process of its own."""
    whole = sum(one.weight for one in INPUTS)
    for one in INPUTS:
        if only and one.name != only:
            continue
        count = max(20, round(times * one.weight / whole))
        done = subprocess.run(
            [sys.executable, "-m", "tests.destroy.inputs", one.name, str(count), str(seed)],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            yield Outcome(
                f"changed input: {one.name}", 0, [f"ended with {done.returncode}: {done.stderr[-1500:]}"]
            )
        else:
            yield Outcome(**json.loads(done.stdout.splitlines()[-1]))


class TooSlow(BaseException):
    """It takes longer than anyone waits."""


def _stop(*_: object) -> None:
    raise TooSlow


def tried(one: Input, inputs: Iterator[bytes], place: Path, outcome: Outcome) -> None:
    """Give these inputs to what takes them; the folder DRILLAPP_FOUND keeps those that fall."""
    take = one.take(place)
    signal.signal(signal.SIGALRM, _stop)
    slowest, base = 0.0, _memory()
    for data in inputs:
        outcome.tried += 1
        words = ""
        start = time.process_time()
        signal.alarm(30)
        try:
            take(data)
        except one.refusals:
            pass
        except TooSlow:
            words = "longer than 30 s"
        except Exception as error:
            where = traceback.extract_tb(error.__traceback__)[-1]
            words = f"{type(error).__name__}: {str(error)[:120]} ({Path(where.filename).name}:{where.lineno})"
        finally:
            signal.alarm(0)
        spent = time.process_time() - start
        slowest = max(slowest, spent)
        if not words and spent > SECONDS:
            words = f"{spent:.1f} s of processor time"
        if not words and (more := _memory() - base) > MEGABYTES:
            words, base = f"{more} MB more", base + more
        if words:
            outcome.fell.append(f"{words}: {data[:100]!r}")
            if keep := os.environ.get("DRILLAPP_FOUND"):
                name = hashlib.sha256(data).hexdigest()[:12]
                inside = Path(keep) / one.name.replace(" ", "-")
                inside.mkdir(parents=True, exist_ok=True)
                (inside / name).write_bytes(data)
    outcome.note = f"slowest {slowest:.2f} s, {_memory() - base} MB more"


def _memory() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def _changed(one: Input, place: Path, times: int, seed: int) -> Iterator[bytes]:
    rng = random.Random(seed)
    seeds = one.seeds(place)
    for _ in range(times):
        yield one.change(rng.choice(seeds), rng)


def main() -> None:
    name, times, seed = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    one = next(one for one in INPUTS if one.name == name)
    outcome = Outcome(f"changed input: {name}")
    with folder(quick=True) as place:
        (place / "teacher").mkdir()
        tried(one, _changed(one, place, times, seed), place, outcome)
        os.chdir(ROOT)
    outcome.fell = outcome.fell[:50]
    print(json.dumps(vars(outcome)))


if __name__ == "__main__":
    main()
