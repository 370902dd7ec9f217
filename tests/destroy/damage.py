"""Bytes of a learner's files are changed, and rows that SQLite's own check passes: what is lost is said."""

from __future__ import annotations

import contextlib
import json
import os
import random
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from drillapp.decks.load import load_decks
from drillapp.desk.collecting import watch
from drillapp.desk.desk import TeachersDesk
from drillapp.desk.lock import PinRefused
from drillapp.learning.prior import Prior
from drillapp.learning.prior_file import write_prior
from drillapp.practice.fitted import PRIOR_FILE
from drillapp.practice.opening import LOG_FILE, open_practice
from drillapp.records import HandInError, LogError, open_log
from drillapp.records.lines import seal

from .inputs import look_at_all
from .kills import kill_one
from .material import NOON, answer, filled, ids
from .mutate import VALUES, changed_bytes, changed_json
from .outcome import ROOT, Outcome, folder

MOST_LOST = 3
"""Answers whose lines one damage of a few bytes may hit: those that share a page, where it hits its head."""
SIDES = ("", "-wal")


def _set_four(data: bytes, rng: random.Random) -> tuple[bytes, int]:
    at = rng.randrange(max(1, len(data) - 4))
    return data[:at] + rng.randbytes(4) + data[at + 4 :], MOST_LOST


def _set_sector(data: bytes, rng: random.Random) -> tuple[bytes, int]:
    at = rng.randrange(max(1, len(data) // 512)) * 512
    return data[:at] + rng.choice((bytes(512), b"\xff" * 512, rng.randbytes(512))) + data[at + 512 :], 20


def _set_page(data: bytes, rng: random.Random) -> tuple[bytes, int]:
    at = rng.randrange(max(1, len(data) // 8192)) * 8192
    return data[:at] + bytes(8192) + data[at + 8192 :], 40


def _cut_off(data: bytes, rng: random.Random) -> tuple[bytes, int]:
    return data[: rng.randrange(len(data))], 10**9


WAYS: tuple[Callable[[bytes, random.Random], tuple[bytes, int]], ...] = (
    _set_four, _set_four, _set_four, _set_sector, _set_page, _cut_off,
)  # fmt: skip


def damages(times: int, seed: int = 3) -> Iterator[Outcome]:
    """So many damages of a log and of a journal that a kill left, and of the files beside them."""
    rng = random.Random(seed)
    with folder() as place, folder(quick=True) as scratch:
        path = place / LOG_FILE
        filled(path, range(40))
        kill_one("append", place, 1000, rng)
        start = {side: Path(f"{path}{side}").read_bytes() for side in SIDES}
        whole = set(ids(path))
        for side in SIDES:
            outcome = Outcome(f"damaged: {'its journal' if side else 'the log'}")
            for _ in range(times * 2 // 5):
                outcome.tried += 1
                changed, most = rng.choice(WAYS)(start[side], rng)
                inside = _emptied(scratch / "one")
                for each, data in start.items():
                    (inside / f"{LOG_FILE}{each}").write_bytes(changed if each == side else data)
                if fell := _opens(inside / LOG_FILE, whole, most):
                    outcome.fell.append(fell)
            yield outcome
        yield _others(times - times * 2 // 5 * 2, rng, scratch)


def _emptied(inside: Path) -> Path:
    shutil.rmtree(inside, ignore_errors=True)
    inside.mkdir()
    return inside


def _opens(path: Path, whole: set[str], most: int) -> str:
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
    if len(there) != len(set(there)) or not set(there) <= whole:
        return "an answer twice, or one that was never given"
    if len(lost) > most:
        return f"{len(lost)} answers lost"
    return "" if not lost or notices or most > 1000 else f"{len(lost)} lost without a word"


def _others(times: int, rng: random.Random, scratch: Path) -> Outcome:
    """Files beside the log: none stops the start, and each that is not used is named."""
    outcome = Outcome("damaged: another file of the folder")
    seeds = {
        PRIOR_FILE: write_prior(Prior()).encode(),
        "decks/one.toml": next(iter(sorted((ROOT / "decks").glob("*.toml")))).read_bytes(),
        "decks/.drafts/one.toml": b'title = "One"\n[[pattern]]\ntitle = "A"\ntext = "D D D D"\n',
        f"{LOG_FILE}.waiting-abc": (seal(_waiting()) + "\n").encode() * 2,
        f"{LOG_FILE}.rescued": b"SQLite format 3\0" + bytes(500),
        f"{LOG_FILE}-shm": bytes(32768),
        f".{LOG_FILE}.999999-0.part": b"x" * 100,
        "practice.handin.gz": b"\x1f\x8b" + bytes(30),
    }
    log = scratch / "whole.sqlite"
    filled(log, range(5))
    for number in range(times):
        outcome.tried += 1
        inside = _emptied(scratch / "one")
        shutil.copy(log, inside / LOG_FILE)
        name = rng.choice(list(seeds))
        (inside / name).parent.mkdir(parents=True, exist_ok=True)
        if number % 10:
            (inside / name).write_bytes(changed_bytes(seeds[name], rng))
        elif number % 20:
            (inside / name).mkdir()
        else:
            os.mkfifo(inside / name)
        words = ""
        try:
            practice = open_practice(
                inside, lambda inside=inside: load_decks(inside / "decks"), lambda: NOON, seed=1
            )
            with practice.log:
                there = {one.id for one in practice.log.answers()}
                if not {answer(one).id for one in range(5)} <= there:
                    words = f"{len(there)} answers left"
        except LogError as error:
            words = "" if name.endswith((".rescued", "-shm")) and number % 10 == 0 else f"refused: {error}"
        except Exception as error:
            words = f"{type(error).__name__}: {error}"
        if words:
            outcome.fell.append(f"{name}: {words}")
    return outcome


def _waiting() -> dict[str, Any]:
    from drillapp.records.rows import whole

    return whole(answer(77), "0" * 32, 1)


COLUMNS = (
    ("answers", "text"), ("answers", "device"), ("answers", "number"), ("answers", "learner"),
    ("answers", "session"), ("answers", "utc"), ("answers", "offset"), ("met", "pattern"), ("met", "asked"),
    ("times", "time"), ("learners", "text"), ("learners", "archived"), ("learners", "here"),
    ("sessions", "learner"), ("sessions", "started"), ("sessions", "plan"), ("sessions", "ended"),
    ("settings", "name"), ("settings", "value"), ("meta", "value"), ("voided", "id"),
    ("classes", "name"), ("classes", "made"), ("classes", "archived"), ("students", "name"),
    ("students", "class"), ("students", "archived"), ("students", "remark"), ("students", "joined"),
    ("student_of", "learner"), ("student_of", "student"), ("set_work", "made"), ("set_work", "text"),
    ("set_for", "work"), ("set_for", "whose"), ("deleted", "learner"), ("deleted", "utc"),
    ("desk", "name"), ("desk", "value"), ("tallies", "text"),
)  # fmt: skip
"""Where a row is edited."""


def edited_rows(times: int, seed: int = 4) -> Iterator[Outcome]:
    """So many rows are edited that SQLite's own check passes: the app starts, and what it drops is said."""
    rng = random.Random(seed)
    outcome = Outcome("a row edited that SQLite's check passes")
    with folder() as place, folder(quick=True) as scratch:
        source = place / LOG_FILE
        practice = open_practice(place, load_decks, lambda: NOON, seed=1)
        with practice.log as log:
            learner = practice.learner.id
            for number in range(12):
                log.append(answer(number, learner=learner))
            log.take_back(answer(11, learner=learner), NOON + 200)
            log.settings.set("minutes", 15, learner)
            practice.start()
            _fill_desk(TeachersDesk(log, place, lambda: NOON), place, learner)
        while outcome.tried < times:
            inside = _emptied(scratch / "one")
            shutil.copy(source, inside / LOG_FILE)
            table, column = rng.choice(COLUMNS)
            if not _edit(inside / LOG_FILE, table, column, rng):
                continue
            outcome.tried += 1
            if words := _practises(inside):
                outcome.fell.append(f"{table}.{column}: {words}")
    yield outcome


def _fill_desk(desk: TeachersDesk, place: Path, learner: str) -> None:
    log = desk.log
    made = log.classes.add("4b", now=NOON)
    first, second, _ = log.classes.add_students(["Mia Berg", "Tom Kane", "Lea Olsen"], made.id)
    log.classes.join(first, second)
    log.classes.note(first, "plays left-handed")
    log.append(answer(50, learner="gone"))
    for one in log.classes.students():
        if learner in one.learners:
            log.classes.move(one.id, made.id)
            desk.give(desk.suggest(one.name, ("tie",)), one.id)
        if "gone" in one.learners:
            desk.delete(one)
    desk.give(desk.suggest(made.name, ("rest",)), made.id)
    watch(log, place)
    desk.lock.set("20406", bytes(16))
    desk.table(made.id)


def _edit(path: Path, table: str, column: str, rng: random.Random) -> bool:
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for (trigger,) in connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'answers'"
        ).fetchall():
            sql = connection.execute("SELECT sql FROM sqlite_master WHERE name = ?", (trigger,)).fetchone()[0]
            connection.execute(f"DROP TRIGGER {trigger}")
            connection.execute("CREATE TEMP TABLE IF NOT EXISTS dropped (sql TEXT)")
            connection.execute("INSERT INTO dropped VALUES (?)", (sql,))
        values = connection.execute(f'SELECT "{column}" FROM {table} ORDER BY random() LIMIT 1').fetchone()
        if values is None:
            return False
        with contextlib.suppress(sqlite3.IntegrityError, UnicodeEncodeError):
            connection.execute(
                f'UPDATE {table} SET "{column}" = ? WHERE "{column}" IS ?',
                (_other(values[0], rng), values[0]),
            )
            for (sql,) in connection.execute("SELECT sql FROM dropped").fetchall():
                connection.execute(sql)
            return bool(connection.execute("PRAGMA integrity_check").fetchone() == ("ok",))
    return False


def _other(value: Any, rng: random.Random) -> Any:
    kind = rng.randrange(4)
    if kind == 0 and isinstance(value, str) and value.startswith("{"):
        changed = changed_json(json.loads(value), rng)
        if isinstance(changed, dict):
            with contextlib.suppress(ValueError):
                changed.pop("crc", None)
                return seal(changed)
        return json.dumps(changed)
    if kind == 1 and isinstance(value, str):
        return changed_bytes(value.encode(), rng)[:20_000]
    simple = [one for one in VALUES if isinstance(one, (str, float, int)) and not _is_huge(one)]
    return rng.choice([*simple, b"\xff\xfe", b""])


def _is_huge(value: Any) -> bool:
    return isinstance(value, int) and abs(value) >= 2**63


def _practises(inside: Path) -> str:
    try:
        practice = open_practice(inside, load_decks, lambda: NOON + 1000, seed=1)
        with practice.log as log:
            for learner in practice.who.all() if hasattr(practice.who, "all") else ():
                practice.who.choose(learner.id)
            practice.today()
            practice.progress()
            sitting = practice.start()
            task = sitting.next()
            if task is not None:
                sitting.answer(task, None, 2.0)
            desk = TeachersDesk(log, inside, lambda: NOON + 1000)
            look_at_all(desk)
            with contextlib.suppress(PinRefused):
                desk.lock.open("20406", NOON + 1000)
            desk.lock.wait(NOON + 1000)
            for one in log.classes.all(archived=True):
                log.classes.rename(one.id, "new name")
            log.hand_in(inside / "out.handin")
            there = [one.id for one in log.answers()]
            if len(there) < 11 and not log.notices:
                return f"{len(there)} answers left, without a word"
        with open_log(inside / "teacher.sqlite") as teacher:
            teacher.collect(inside / "out.handin")
    except (LogError, HandInError) as error:
        return f"refused: {error}"
    except Exception as error:
        return f"{type(error).__name__}: {error}"
    return ""
