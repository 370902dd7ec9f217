"""A process to be killed: it does one kind of work on a log for ever and says what is on disk by then.

It prints the number of each answer that is on disk, with a minus where it is taken back.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from pathlib import Path

from drillapp.decks.folder import save_deck
from drillapp.decks.load import load_deck
from drillapp.desk.collecting import watch
from drillapp.desk.desk import TeachersDesk
from drillapp.records import LogError, PracticeLog, open_log
from drillapp.records.schema import SCHEMA, migrate
from drillapp.records.set_work import write_work
from tests.destroy.material import NOON, answer
from tests.destroy.operations import PIN, ROLL
from tests.destroy.outcome import ROOT

LOG = "practice.sqlite"


def opened(folder: Path) -> PracticeLog:
    return open_log(folder / LOG, wait=10)


def give(log: PracticeLog, number: int) -> None:
    log.append(answer(number))
    print(number, flush=True)


def append(log: PracticeLog, _folder: Path, number: int) -> PracticeLog:
    give(log, number)
    return log


def session(log: PracticeLog, _folder: Path, number: int) -> PracticeLog:
    log.sessions.begin(f"session {number}", "ana", 10.0, {"of": 3})
    give(log, number)
    log.settings.set("minutes", 5 + number % 20, "ana")
    log.sessions.end(f"session {number}", 20.0)
    return log


def take_back(log: PracticeLog, _folder: Path, number: int) -> PracticeLog:
    give(log, number)
    if number % 2:
        log.take_back(answer(number), answer(number).utc + 1)
        print(-number, flush=True)
    return log


def hand_in(log: PracticeLog, folder: Path, number: int) -> PracticeLog:
    give(log, number)
    log.hand_in(folder / "out.handin")
    return log


def collect(log: PracticeLog, folder: Path, number: int) -> PracticeLog:
    log.collect(folder / "in.handin")
    give(log, number)
    return log


def open_and_close(log: PracticeLog, folder: Path, number: int) -> PracticeLog:
    give(log, number)
    log.close()
    return opened(folder)


def save_a_deck(log: PracticeLog, folder: Path, number: int) -> PracticeLog:
    path = folder / "deck.toml"
    if not path.exists():
        shutil.copy(next(iter(sorted((ROOT / "decks").glob("*.toml")))), folder / "new")
        (folder / "new").rename(path)
    deck, _ = load_deck(path)
    assert deck is not None
    save_deck(deck, path)
    give(log, number)
    return log


def bring_up_to_date(log: PracticeLog, folder: Path, number: int) -> PracticeLog:
    # A log of the newest version has steps to come, so these stand for the next ones.
    give(log, number)
    log.close()
    other = open_log(folder / f"other-{number}.sqlite")
    with other._store.reading() as connection:
        migrate(connection, other.path, [lambda _connection: None] * (SCHEMA + 2))
    other.close()
    for left in folder.glob(f"other-{number}.sqlite*"):
        left.unlink(missing_ok=True)
    return opened(folder)


def take_up(log: PracticeLog, folder: Path, number: int) -> PracticeLog:
    # Answers that cannot be written wait, and the next start takes them up.
    with log._store.reading() as connection:
        connection.execute("PRAGMA query_only = ON")
    try:
        log.append(answer(number))
    except LogError:
        assert log.kept
    print(number, flush=True)
    log.close()
    return opened(folder)


def rescue(log: PracticeLog, folder: Path, number: int) -> PracticeLog:
    give(log, number)
    log.close()
    for left in folder.glob(f"{LOG}.damaged*"):
        left.unlink(missing_ok=True)
    # Of the head only the bytes that SQLite looks at first; none of an answer.
    with (folder / LOG).open("r+b") as file:
        file.write(b"\xff" * 16)
    return opened(folder)


def at_the_desk(log: PracticeLog, folder: Path, number: int) -> PracticeLog:
    give(log, number)
    made = log.classes.add(f"class {number}", now=1.0)
    first, second, _ = log.classes.add_students([f"{one} {number}" for one in ROLL], made.id)
    log.classes.join(first, second)
    desk = TeachersDesk(log, folder, lambda: NOON)
    work = desk.suggest(made.name, ("tie",))
    desk.give(work, made.id)
    write_work(work, folder / "work.setwork")
    desk.table(made.id)
    log.classes.archive(made.id)
    return log


def pin(log: PracticeLog, folder: Path, number: int) -> PracticeLog:
    give(log, number)
    lock = TeachersDesk(log, folder, lambda: NOON).lock
    if lock.is_set:
        lock.open(PIN, NOON)
        lock.take_off()
    lock.set(PIN, bytes(16))
    return log


def delete(log: PracticeLog, folder: Path, number: int) -> PracticeLog:
    learner = f"learner {number}"
    log.append(answer(number, learner=learner))
    print(number, flush=True)
    if number % 2:
        student = next(one for one in log.classes.students() if learner in one.learners)
        TeachersDesk(log, folder, lambda: NOON).delete(student)
        print(-number, flush=True)
    return log


def collect_folder(log: PracticeLog, folder: Path, number: int) -> PracticeLog:
    desk = TeachersDesk(log, folder, lambda: NOON)
    watch(log, folder / "handed")
    with open_log(folder / f"student-{number}.sqlite") as student:
        student.append(answer(number))
        student.hand_in(folder / "handed" / "one.handin")
    for left in folder.glob(f"student-{number}.sqlite*"):
        left.unlink(missing_ok=True)
    if all(line.done for line in desk.collect([folder / "handed"])):
        print(number, flush=True)
    return log


WORK: dict[str, Callable[[PracticeLog, Path, int], PracticeLog]] = {
    "append": append,
    "session": session,
    "take back": take_back,
    "hand in": hand_in,
    "collect": collect,
    "open and close": open_and_close,
    "save a deck": save_a_deck,
    "bring up to date": bring_up_to_date,
    "take up": take_up,
    "rescue": rescue,
    "at the desk": at_the_desk,
    "PIN": pin,
    "delete": delete,
    "collect a folder": collect_folder,
}
"""One row for each kind of work."""


def main() -> None:
    kind, folder, number = WORK[sys.argv[1]], Path(sys.argv[2]), int(sys.argv[3])
    log = opened(folder)
    print("ready", flush=True)
    while True:
        log = kind(log, folder, number)
        number += 1


if __name__ == "__main__":
    main()
