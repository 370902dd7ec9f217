"""A process to be killed: it does one kind of work on a log for ever and says what is on disk by then."""

from __future__ import annotations

import sys
from pathlib import Path

from drillapp.records import open_log
from drillapp.records.schema import SCHEMA, migrate
from tests.destroy.material import answer


def work(kind: str, folder: Path, start: int) -> None:
    path = folder / "practice.sqlite"
    log = open_log(path, wait=10)
    number = start
    print("ready", flush=True)
    while True:
        if kind == "append":
            log.append(answer(number))
            print(number, flush=True)
        elif kind == "hand in":
            log.append(answer(number))
            print(number, flush=True)
            log.hand_in(folder / "out.handin")
        elif kind == "collect":
            log.collect(folder / "in.handin")
            log.append(answer(number))
            print(number, flush=True)
        elif kind == "open":
            log.append(answer(number))
            print(number, flush=True)
            log.close()
            log = open_log(path, wait=10)
        elif kind == "migrate":
            log.append(answer(number))
            print(number, flush=True)
            log.close()
            other = open_log(folder / f"other-{number}.sqlite")
            with other._store.reading() as connection:
                migrate(connection, other.path, [lambda _c: None] * (SCHEMA + 2))
            other.close()
            log = open_log(path, wait=10)
        elif kind == "take up":
            # Answers that cannot be written wait, and the next start takes them up.
            with log._store.reading() as connection:
                connection.execute("PRAGMA query_only = ON")
            try:
                log.append(answer(number))
            except Exception:
                assert log.kept
            print(number, flush=True)
            log.close()
            log = open_log(path, wait=10)
        number += 1


if __name__ == "__main__":
    work(sys.argv[1], Path(sys.argv[2]), int(sys.argv[3]))
