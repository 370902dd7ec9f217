"""Keeps what today's version writes, for the versions after it: ``python -m tests.destroy.make_old FOLDER``.

The log of schema-1 was made without what is in the others. A file that is there is never made anew.
"""

from __future__ import annotations

import sys
from pathlib import Path

from drillapp.records import open_log
from drillapp.records.schema import SCHEMA

from .material import NOON, answer, filled

PIN = "20406"


def make(inside: Path) -> None:
    """schema-N.sqlite, .handin and .setwork, as far as this version has them."""
    path = inside / f"schema-{SCHEMA}.sqlite"
    filled(path, range(6))
    with open_log(path) as log:
        log.learners.rename("ana", "Ana", NOON)
        log.settings.set("minutes", 15, "ana")
        log.sessions.begin("s", "ana", NOON, {"of": 6})
        log.append(answer(6))
        log.take_back(answer(6), NOON + 100)
        if SCHEMA >= 3:
            _desk(log, inside)
        log.hand_in(inside / f"schema-{SCHEMA}.handin", "ana")


def _desk(log: object, inside: Path) -> None:
    from drillapp.desk.desk import TeachersDesk
    from drillapp.records import PracticeLog
    from drillapp.records.set_work import write_work

    assert isinstance(log, PracticeLog)
    made = log.classes.add("4b", NOON)
    mia, tom, _ = log.classes.add_students(["Mia Berg", "Tom Kane", "Ana"], made.id)
    log.classes.join(mia, tom)
    log.classes.note(mia, "plays left-handed")
    log.append(answer(7, learner="gone"))
    desk = TeachersDesk(log, inside, lambda: NOON)
    for one in log.classes.students():
        if "gone" in one.learners:
            desk.delete(one)
    work = desk.suggest(made.name, ("tie",))
    desk.give(work, made.id)
    write_work(work, inside / f"schema-{SCHEMA}.setwork")
    desk.lock.set(PIN, bytes(16))
    desk.table(made.id)


if __name__ == "__main__":
    make(Path(sys.argv[1]))
