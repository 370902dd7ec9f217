"""One check of an answer: what collect accepts can be used, and what cannot be used is set aside in view."""

from __future__ import annotations

import gzip
import hashlib
import json
import sqlite3
import zlib
from collections.abc import Callable
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from drillapp.records import Answer, HandInError, open_log
from drillapp.records.answer import as_dict
from drillapp.records.limits import LATEST, MAX_NUMBER
from drillapp.records.lines import compact
from drillapp.records.recovery import save_readable

MakeAnswer = Callable[..., Answer]
LEARNER = {"id": "ana", "name": "Ana", "made": 1.0, "named": 1.0}


def sealed(value: dict[str, Any]) -> str:
    """A line with a right check value, as a forger would make it."""
    start = json.dumps(value, separators=(",", ":"))[:-1]
    return f'{start},"crc":"{zlib.crc32(start.encode()):08x}"}}'


def handed_in(path: Path, answer: dict[str, Any], number: int = 1, device: str = "d", **learner: Any) -> Path:
    lines = [
        compact({"drillapp": "hand in", "schema": 1, "device": device}),
        sealed({"learner": {**LEARNER, **learner}}),
        sealed({"answer": answer, "device": device, "number": number}),
    ]
    body = "".join(f"{line}\n" for line in lines).encode()
    end = compact({"learners": 1, "answers": 1, "sha256": hashlib.sha256(body).hexdigest()})
    path.write_bytes(gzip.compress(body + end.encode() + b"\n"))
    return path


def as_json(answer: Answer, **changes: Any) -> dict[str, Any]:
    return {**json.loads(compact(as_dict(answer))), **changes}


def with_guess(answer: Answer, guess: float) -> dict[str, Any]:
    data = as_json(answer)
    data["factors"][0]["guess"] = guess
    return data


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"offset": 1440}, "offset: is 1440"),
        ({"offset": -1440}, "offset: is -1440"),
        ({"utc": 253402300799}, "utc: is 253402300799"),
        ({"learner": "a" * 101}, "learner: is"),
        ({"heard": [0] * 101}, "heard: has 101 numbers"),
        ({"extra": {"far": 1e999}}, "Infinity is not a number"),
        ({"tempo": 10**30}, "a whole number with 31 digits"),
    ],
)
def test_what_no_room_could_use_is_refused_with_file_line_and_reason(
    path: Path, answer: MakeAnswer, changes: dict[str, Any], words: str
) -> None:
    file = handed_in(path.with_name("file"), as_json(answer(learner="ana"), **changes))
    with open_log(path) as log:
        with pytest.raises(HandInError, match="line 3 is not right") as caught:
            log.collect(file)
        assert words in str(caught.value) and str(file) in str(caught.value)
        assert log.count() == 0 and log.learners.all(archived=True) == ()


def test_a_chance_of_guessing_that_leaves_nothing_to_read_is_refused(path: Path, answer: MakeAnswer) -> None:
    # A two-way forced choice has a guess rate of 1/2; with 1 no answer says anything.
    with open_log(path) as log:
        with pytest.raises(
            HandInError, match=r"line 3 is not right: guess: is 1; must be a number from 0 to 0\.99"
        ):
            log.collect(handed_in(path.with_name("file"), with_guess(answer(), 1)))
        log.collect(handed_in(path.with_name("other"), with_guess(answer(), 0.99)))
        assert log.count() == 1


@pytest.mark.parametrize("offset", [-1439, 1439])
@pytest.mark.parametrize("utc", [0.0, LATEST])
def test_the_first_and_the_last_time_have_a_date_in_every_zone(
    path: Path, answer: MakeAnswer, offset: int, utc: float
) -> None:
    with open_log(path) as log:
        log.append(answer(utc=utc, offset=offset))
        (one,) = log.answers()
        assert one.local.utcoffset() == timedelta(minutes=offset)
        assert log.days("ana") == {one.day: 1}


def test_the_highest_number_does_not_stop_later_hand_ins(path: Path, answer: MakeAnswer) -> None:
    # RFC 8259, section 6: whole numbers are exact up to 2**53 - 1.
    with open_log(path) as log:
        device = log.device
        file = handed_in(path.with_name("file"), as_json(answer(0)), MAX_NUMBER, device)
        log.collect(file)
        log.append(answer(1))
        log.append(answer(2))
        assert log.device != device
        log.hand_in(path.with_name("again"))
    with open_log(path.with_name("teacher.sqlite")) as teacher:
        assert teacher.collect(path.with_name("again")).new == 3
    with open_log(path) as log:
        log.append(answer(3))
        assert [one.id for one in log.answers()] == [f"answer-{number:04}" for number in range(4)]


def test_a_name_given_at_the_end_of_time_can_be_given_anew(path: Path, answer: MakeAnswer) -> None:
    with open_log(path) as log:
        log.collect(handed_in(path.with_name("file"), as_json(answer()), named=LATEST, made=LATEST))
        assert log.learners.rename("ana", "Anna", now=1000.0).name == "Anna"
        assert log.learners.get("ana").name == "Anna"
        log.hand_in(path.with_name("again"))
    with open_log(path.with_name("teacher.sqlite")) as teacher:
        teacher.collect(path.with_name("again"))
        assert teacher.learners.get("ana").name == "Anna"


def test_a_learner_known_only_by_a_strange_id_can_be_handed_in(path: Path, answer: MakeAnswer) -> None:
    with open_log(path) as log:
        log.append(answer(learner="ab   cd-\u0301"))
        log.hand_in(path.with_name("file"))
    with open_log(path.with_name("teacher.sqlite")) as teacher:
        assert teacher.collect(path.with_name("file")).new == 1


def edit(path: Path, statement: str, *values: object) -> None:
    """Change a row so that SQLite's own check still passes."""
    with closing(sqlite3.connect(path)) as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute(statement, values)
        connection.commit()
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


RESTORE = [
    "CREATE TRIGGER answers_are_never_changed BEFORE UPDATE ON answers BEGIN SELECT 1; END",
    "CREATE TRIGGER answers_are_never_deleted BEFORE DELETE ON answers BEGIN SELECT 1; END",
    "CREATE TRIGGER answers_are_never_replaced BEFORE INSERT ON answers BEGIN SELECT 1; END",
]


@pytest.mark.parametrize("text", ["", "{}", b"\xff\xfe", 7, "[" * 5000, '{"answer":{}}'])
def test_a_row_that_is_no_answer_is_left_out_and_said(path: Path, answer: MakeAnswer, text: object) -> None:
    with open_log(path) as log:
        for number in range(3):
            log.append(answer(number))
    edit(path, "UPDATE answers SET text = ? WHERE number = 2", text)
    for statement in RESTORE:
        edit_without_dropping(path, statement)
    check_two_left(path, answer)


def test_an_old_row_that_no_room_can_use_is_left_out_and_said(path: Path, answer: MakeAnswer) -> None:
    with open_log(path) as log:
        for number in range(3):
            log.append(answer(number))
        device = log.device
    line = sealed({"answer": with_guess(answer(1), 1), "device": device, "number": 2})
    edit(path, "UPDATE answers SET text = ? WHERE number = 2", line)
    for statement in RESTORE:
        edit_without_dropping(path, statement)
    check_two_left(path, answer)


def check_two_left(path: Path, answer: MakeAnswer) -> None:
    with open_log(path) as log:
        assert [one.id for one in log.answers()] == ["answer-0000", "answer-0002"]
        assert len(log.observations()) == 2
        assert log.notices[-1].startswith("1 answer in the practice log is damaged and left out")
        log.append(answer(4))
        assert log.hand_in(path.with_name("file")).answers == 3
    with open_log(path.with_name("teacher.sqlite")) as teacher:
        assert teacher.collect(path.with_name("file")).new == 3


def edit_without_dropping(path: Path, statement: str) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(statement)
        connection.commit()


@pytest.mark.parametrize(
    "change",
    [
        "utc = 'noon'",
        "utc = 9e999",
        "utc = -5",
        "\"offset\" = 'east'",
        '"offset" = 9e15',
        "device = x'ff'",
        "number = 'two'",
        "session = 3",
    ],
)
def test_text_where_a_number_belongs_stops_nothing(path: Path, answer: MakeAnswer, change: str) -> None:
    with open_log(path) as log:
        for number in range(3):
            log.append(answer(number))
    edit(path, f"UPDATE answers SET {change} WHERE entry = 2")
    for statement in RESTORE:
        edit_without_dropping(path, statement)
    with open_log(path) as log:
        # The columns only help to find the text, which says it all once more.
        assert len(log.answers()) == 3
        assert sum(log.days("ana").values()) >= 2
        assert len(log.observations()) == 3
        log.append(answer(4))
        assert log.count() == 4
        log.hand_in(path.with_name("file"))
    with open_log(path.with_name("teacher.sqlite")) as teacher:
        assert teacher.collect(path.with_name("file")).new == 4


@pytest.mark.parametrize("text", ["", "{}", "no", '{"learner":{"id":"other"}}', '{"learner":3}'])
def test_a_learner_whose_name_is_damaged_keeps_every_answer(
    path: Path, answer: MakeAnswer, text: str
) -> None:
    with open_log(path) as log:
        ana = log.learners.add("Ana", now=1000.0)
        log.append(answer(learner=ana.id))
    edit_values(path, "UPDATE learners SET text = ?", text)
    with open_log(path) as log:
        (one,) = log.learners.all()
        assert one.id == ana.id and one.name == f"Learner {ana.id[:6]}"
        assert log.learners.last() == one
        assert one.name in log.notices[0]
        assert log.learners.rename(one.id, "Ana", now=2000.0).name == "Ana"
        assert log.notices == ()
        assert len(log.answers(ana.id)) == 1


@pytest.mark.parametrize("plan", ["", "no", "[]", '{"count":1e999}', b"\xff"])
def test_a_session_whose_plan_is_damaged_is_one_without_a_plan(path: Path, plan: object) -> None:
    with open_log(path) as log:
        log.sessions.begin("s", "ana", 1000.0, {"count": 3})
    edit_values(path, "UPDATE sessions SET plan = ?, started = 'long ago'", plan)
    with open_log(path) as log:
        (one,) = log.sessions.unfinished("ana")
        assert (one.started, one.ended) == (0.0, None)
        assert set(one.plan) <= {"count"}


def edit_values(path: Path, statement: str, *values: object) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(statement, values)
        connection.commit()


@pytest.mark.parametrize("table", ["meta", "answers", "met", "times", "learners", "sessions", "settings"])
def test_a_log_without_one_of_its_tables_is_rescued(path: Path, answer: MakeAnswer, table: str) -> None:
    with open_log(path) as log:
        log.learners.add("Ana", now=1000.0)
        for number in range(5):
            log.append(answer(number))
    edit_values(path, f"DROP TABLE {table}")
    with open_log(path) as log:
        assert len(log.answers()) == (5 if table != "answers" else len(log.answers()))
        log.append(answer(9))
        assert "damaged" in log.notices[0]
    assert list(path.parent.glob("*.damaged-*"))


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM meta WHERE name = 'device'",
        "DROP INDEX by_device",
        "DROP TRIGGER answers_are_never_deleted",
        "ALTER TABLE settings DROP COLUMN value",
    ],
)
def test_a_log_without_a_part_of_its_form_is_rescued(path: Path, answer: MakeAnswer, statement: str) -> None:
    with open_log(path) as log:
        log.append(answer())
    edit_values(path, statement)
    with open_log(path) as log:
        assert log.answers() == (answer(),)
        assert len(log.notices) == 1
    with open_log(path) as log:
        assert log.notices == ()


@pytest.mark.parametrize("device", ["", "\u202e", "x" * 101])
def test_a_device_whose_id_is_damaged_still_hands_in_what_can_be_collected(
    path: Path, answer: MakeAnswer, device: str
) -> None:
    with open_log(path) as log:
        log.append(answer())
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("UPDATE meta SET value = ? WHERE name = 'device'", (device,))
    save_readable(path, path.with_name("saved"))
    with open_log(path) as log:
        assert log.notices
        log.hand_in(path.with_name("handed"))
    for name in ("saved", "handed"):
        with open_log(path.with_name(f"teacher of {name}")) as teacher:
            assert teacher.collect(path.with_name(name)).new == 1
