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
from drillapp.records import LogError, PracticeLog, open_log
from drillapp.records.schema import SCHEMA, migrate
from tests.destroy.material import answer
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
