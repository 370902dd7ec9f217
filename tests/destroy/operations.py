"""What is done to a learner's files, each as one row: where it begins, what it does, what must hold after."""

from __future__ import annotations

import gzip
import shutil
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from drillapp.decks.folder import DeckFileError, drop_draft, save_deck, save_draft
from drillapp.decks.load import load_deck
from drillapp.desk.collecting import watch
from drillapp.desk.desk import TeachersDesk
from drillapp.records import HandInError, LogError, PracticeLog, SetWorkError, open_log
from drillapp.records.recovery import open_copy, put_log_aside, save_readable
from drillapp.records.set_work import open_work, write_work

from .material import NOON, answer, filled, ids
from .outcome import ROOT

OLD = Path(__file__).with_name("old")
LOG = "practice.sqlite"
BASE = range(3)
NEW = 500
"""The number of the answer that an operation gives."""
REFUSALS = (LogError, DeckFileError, SetWorkError)


@dataclass
class Said:
    """What the learner was told: answers that are on disk, those that were taken back."""

    kept: list[int]
    taken_back: list[int]
    unsure: list[int]
    """Answers of which it was said that they may not be taken back yet."""
    done: set[str] = field(default_factory=set)
    """What else was said to be on disk."""


@dataclass(frozen=True)
class Operation:
    """``act`` may raise what REFUSALS names and nothing else."""

    name: str
    act: Callable[[Path, Said], None]
    begin: Callable[[Path], None] = lambda _folder: None
    check: Callable[[Path, Said], str] = lambda _folder, _said: ""
    """What is wrong with what it leaves besides the log; empty where nothing is."""


def template(folder: Path) -> None:
    """What every operation begins with: a log of three answers, a file handed in, a deck."""
    filled(folder / LOG, BASE)
    filled(folder / "student.sqlite", range(100, 103))
    with open_log(folder / "student.sqlite") as student:
        student.hand_in(folder / "in.handin")
    (folder / "student.sqlite").unlink()
    shutil.copy(next(iter(sorted((ROOT / "decks").glob("*.toml")))), folder / "deck.toml")


def _append(folder: Path, said: Said) -> None:
    with open_log(folder / LOG) as log:
        for number in (NEW, NEW + 1):
            try:
                log.append(answer(number))
            except LogError:
                if not log.kept:
                    continue
            said.kept.append(number)


def _take_back(folder: Path, said: Said) -> None:
    with open_log(folder / LOG) as log:
        try:
            log.take_back(answer(1), answer(1).utc + 5)
        except LogError:
            if not log.kept:
                said.unsure.append(1)
                return
        said.taken_back.append(1)


def _session(folder: Path, said: Said) -> None:
    with open_log(folder / LOG) as log:
        learner = log.learners.add("Bo", now=5.0)
        log.settings.set("minutes", 15, learner.id)
        log.sessions.begin("session", learner.id, 10.0, {"of": 3})
        log.append(answer(NEW, learner=learner.id, session="session"))
        said.kept.append(NEW)
        log.sessions.end("session", 20.0)


def _hand_in(folder: Path, said: Said) -> None:
    with open_log(folder / LOG) as log:
        log.hand_in(folder / "out.handin")


def _collect(folder: Path, said: Said) -> None:
    with open_log(folder / LOG) as log:
        log.collect(folder / "in.handin")
        said.kept.extend(range(100, 103))


def _damage(folder: Path) -> None:
    data = (folder / LOG).read_bytes()
    (folder / LOG).write_bytes(b"\xff" * 50 + data[50:])


def _open(folder: Path, said: Said) -> None:
    open_log(folder / LOG).close()


def _older(folder: Path) -> None:
    (folder / LOG).unlink()
    shutil.copy(OLD / "schema-1.sqlite", folder / LOG)


def _waiting(folder: Path) -> None:
    with open_log(folder / LOG) as log:
        with log._store.reading() as connection:
            connection.execute("PRAGMA query_only = ON")
        try:
            log.append(answer(NEW + 50))
        except LogError:
            assert log.kept


def _save_deck(folder: Path, said: Said) -> None:
    deck, _ = load_deck(folder / "deck.toml")
    if deck is None:
        raise LogError("not read")
    save_draft(deck, folder)
    save_deck(deck, folder / "deck.toml")
    drop_draft(deck.name, folder)


def _aside_and_copy(folder: Path, said: Said) -> None:
    save_readable(folder / LOG, folder / "out.handin")
    open_copy(folder / LOG, put_log_aside(folder / LOG))


def _handed_in(folder: Path, _said: Said) -> str:
    if not (folder / "out.handin").exists():
        return ""
    try:
        with gzip.open(folder / "out.handin") as file:
            file.read()
        with open_log(folder / "teacher.sqlite") as teacher:
            teacher.collect(folder / "out.handin")
    except (OSError, EOFError, HandInError) as error:
        return f"half a hand-in: {error}"
    return ""


def _deck(folder: Path, _said: Said) -> str:
    deck, faults = load_deck(folder / "deck.toml")
    return "" if deck is not None else f"the deck is gone: {faults[0]}"


GONE = range(600, 603)
"""Answers of a learner who is deleted."""
ROLL = ("Mia Berg", "Tom Kane", "Lea Olsen")
PIN = "20406"


def _desk_of(log: PracticeLog, folder: Path) -> TeachersDesk:
    return TeachersDesk(log, folder, lambda: NOON + 86_400)


def _class(folder: Path, said: Said) -> None:
    with open_log(folder / LOG) as log:
        made = log.classes.add("4b", now=1.0)
        first, second, _ = log.classes.add_students(ROLL, made.id)
        said.done.add("roll")
        log.classes.note(first, "plays left-handed")
        log.classes.join(first, second)
        said.done.add("joined")


def _roll(folder: Path, said: Said) -> str:
    with open_log(folder / LOG) as log:
        here = [one for one in log.classes.students() if one.in_class]
        if ("roll" in said.done or here) and sum(1 + len(one.joined) for one in here) != len(ROLL):
            return f"{len(here)} of the roll"
        return "not joined" if "joined" in said.done and len(here) != 2 else ""


def _set_work(folder: Path, said: Said) -> None:
    with open_log(folder / LOG) as log:
        desk = _desk_of(log, folder)
        student = log.classes.students()[0]
        work = desk.suggest(student.name, ("tie",))
        desk.give(work, student.id)
        said.done.add("given")
        write_work(work, folder / "work.setwork")
        said.done.add("written")


def _work(folder: Path, said: Said) -> str:
    if "written" in said.done or (folder / "work.setwork").exists():
        open_work(folder / "work.setwork")
    with open_log(folder / LOG) as log:
        found = [_desk_of(log, folder).work_of(one) for one in log.classes.students()]
        return "the work is gone" if "given" in said.done and not any(found) else ""


def _pin(folder: Path, said: Said) -> None:
    with open_log(folder / LOG) as log:
        lock = _desk_of(log, folder).lock
        lock.set(PIN, bytes(16))
        said.done.add("set")
        lock.open(PIN, NOON)


def _locked(folder: Path, said: Said) -> str:
    with open_log(folder / LOG) as log:
        lock = _desk_of(log, folder).lock
        if lock.is_set:
            lock.open(PIN, NOON + 5)
        return "the PIN is gone" if "set" in said.done and not lock.is_set else ""


def _with_one_to_delete(folder: Path) -> None:
    with open_log(folder / LOG) as log:
        for number in GONE:
            log.append(answer(number, learner="bo"))
        log.hand_in(folder / "bo.handin", "bo")


def _delete(folder: Path, said: Said) -> None:
    with open_log(folder / LOG) as log:
        student = log.classes.student_of("bo") or next(
            one for one in log.classes.students() if "bo" in one.learners
        )
        _desk_of(log, folder).delete(student)
        said.taken_back.extend(GONE)
        said.done.add("deleted")


def _deleted(folder: Path, said: Said) -> str:
    with open_log(folder / LOG) as log:
        there = len({answer(number).id for number in GONE} & {one.id for one in log.answers()})
        if there not in (0, len(GONE)):
            return f"{there} answers left of the deleted"
        new = log.collect(folder / "bo.handin").new
        return f"{new} answers came back" if new else ""


def _collect_folder(folder: Path, said: Said) -> None:
    with open_log(folder / LOG) as log:
        desk = _desk_of(log, folder)
        watch(log, folder)
        lines = desk.collect([folder])
        if any(line.done for line in lines):
            said.kept.extend(range(100, 103))
        desk.table(None)


def _desk(folder: Path, said: Said) -> str:
    with open_log(folder / LOG) as log:
        desk = _desk_of(log, folder)
        desk.collect([folder])
        return "" if desk.table(None).table.rows else "nobody at the desk"


OPERATIONS = (
    Operation("append", _append),
    Operation("take back", _take_back),
    Operation("session", _session),
    Operation("hand in", _hand_in, check=_handed_in),
    Operation("collect", _collect),
    Operation("rescue", _open, _damage),
    Operation("migrate", _open, _older),
    Operation("take up", _open, _waiting),
    Operation("save a deck", _save_deck, check=_deck),
    Operation("class and roll", _class, check=_roll),
    Operation("set work", _set_work, check=_work),
    Operation("PIN", _pin, check=_locked),
    Operation("delete", _delete, _with_one_to_delete, check=_deleted),
    Operation("collect a folder", _collect_folder, check=_desk),
    Operation("set aside, open a copy", _aside_and_copy, check=_handed_in),
)
"""One row each; those of other files that a learner's work is in come here."""


def wrong_after(operation: Operation, folder: Path, said: Said) -> str:
    """What is wrong with the files that an operation left, however it ended; empty where nothing is."""
    if not (folder / LOG).exists() and operation.name.startswith("set aside"):
        asides = sorted(folder.glob(f"{LOG}.aside-*"))
        if len(asides) != 1:
            return f"{len(asides)} logs set aside"
        asides[0].rename(folder / LOG)
    there = ids(folder / LOG)
    lost = {answer(number).id for number in (*BASE, *said.kept)} - set(there)
    lost -= {answer(number).id for number in (*said.taken_back, *said.unsure)}
    if lost:
        return f"{len(lost)} answers lost"
    if len(there) != len(set(there)):
        return "an answer twice"
    if {answer(number).id for number in said.taken_back} & set(there):
        return "an answer that was taken back is there"
    return operation.check(folder, said)
