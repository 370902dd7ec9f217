"""An answer taken back stays in the log and does not count, here and wherever the log is collected.

Source: the append-only log of the design, section 7; the rest is common practice, no source.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from itertools import permutations
from pathlib import Path

from drillapp.records import Answer, PracticeLog, open_log
from drillapp.records.answer import TAKEN_BACK, VOIDS, taking_back
from drillapp.records.rescue import set_aside
from drillapp.records.schema import MIGRATIONS, SCHEMA, migrate, version_of

MakeAnswer = Callable[..., Answer]
LATER = 1_750_000_500.0


def rows(path: Path) -> int:
    connection = sqlite3.connect(path)
    try:
        return int(connection.execute("SELECT count(*) FROM answers").fetchone()[0])
    finally:
        connection.close()


def test_it_is_in_no_list_no_evidence_no_count_and_no_day(log: PracticeLog, answer: MakeAnswer) -> None:
    log.append(answer(1))
    log.append(answer(2))
    log.take_back(answer(2), LATER)
    assert [one.id for one in log.answers("ana")] == ["answer-0001"]
    assert len(log.observations("ana")) == 1
    assert log.count("ana") == log.count() == 1
    assert list(log.days("ana").values()) == [1]


def test_both_rows_stay_in_the_file(log: PracticeLog, path: Path, answer: MakeAnswer) -> None:
    log.append(answer(1))
    log.take_back(answer(1), LATER)
    assert rows(path) == 2


def test_what_was_met_stays_met(log: PracticeLog, answer: MakeAnswer) -> None:
    log.append(answer(1))
    log.take_back(answer(1), LATER)
    assert log.met("ana", shown=True) == set(answer(1).candidates)


def test_a_sitting_does_not_count_it(log: PracticeLog, answer: MakeAnswer) -> None:
    log.sessions.begin("session-1", "ana", 0.0, {"count": 9})
    log.append(answer(1))
    log.append(answer(2))
    log.take_back(answer(2), LATER)
    (sitting,) = log.sessions.unfinished("ana")
    assert sitting.answered == 1


def test_a_sitting_that_ended_goes_on(log: PracticeLog, answer: MakeAnswer) -> None:
    log.sessions.begin("session-1", "ana", 0.0)
    log.sessions.end("session-1", 5.0)
    log.sessions.go_on("session-1")
    assert [one.id for one in log.sessions.unfinished("ana")] == ["session-1"]


def test_an_answer_given_again_counts(log: PracticeLog, answer: MakeAnswer) -> None:
    log.append(answer(1))
    log.take_back(answer(1), LATER)
    log.append(answer(2))
    assert [one.id for one in log.answers()] == ["answer-0002"]


def test_who_collects_it_honours_it_in_any_order_and_as_often_as_one_likes(
    tmp_path: Path, answer: MakeAnswer
) -> None:
    handed = []
    with open_log(tmp_path / "student.sqlite") as student:
        student.learners.add("Ana", now=1000.0)
        ana = student.learners.all()[0].id
        first, second = answer(1, learner=ana), answer(2, learner=ana)
        student.append(first)
        student.append(second)
        handed.append(student.hand_in(tmp_path / "before.handin", ana).path)
        student.take_back(first, LATER)
        handed.append(student.hand_in(tmp_path / "after.handin", ana).path)
    for number, order in enumerate(permutations([*handed, handed[1]])):
        with open_log(tmp_path / f"teacher-{number}.sqlite") as teacher:
            for file in order:
                teacher.collect(file)
            assert [one.id for one in teacher.answers(ana)] == ["answer-0002"]
            assert teacher.count(ana) == 1


def test_a_row_of_another_learner_voids_nothing(log: PracticeLog, answer: MakeAnswer) -> None:
    log.append(answer(1))
    log.append(taking_back(answer(1, learner="ben"), LATER))
    assert [one.id for one in log.answers()] == ["answer-0001"]


def test_only_a_row_that_takes_back_voids(log: PracticeLog, answer: MakeAnswer) -> None:
    log.append(answer(1))
    log.append(answer(2, extra={VOIDS: "answer-0001"}))
    log.append(answer(3, drill=TAKEN_BACK, extra={VOIDS: ["answer-0001"]}))
    assert "answer-0001" in [one.id for one in log.answers()]


def test_a_log_saved_from_damage_honours_it(path: Path, answer: MakeAnswer) -> None:
    with open_log(path) as log:
        log.append(answer(1))
        log.append(answer(2))
        log.take_back(answer(1), LATER)
    set_aside(path)
    with open_log(path) as log:
        assert [one.id for one in log.answers()] == ["answer-0002"]
    assert rows(path) == 3


def test_an_older_log_comes_to_know_it_with_a_copy_from_before(path: Path, answer: MakeAnswer) -> None:
    connection = sqlite3.connect(path, isolation_level=None)
    migrate(connection, path, MIGRATIONS[:1])
    connection.close()
    with open_log(path) as log:
        log.append(answer(1))
        log.take_back(answer(1), LATER)
        assert log.answers() == ()
    connection = sqlite3.connect(path.with_name(f"{path.name}.version-1"))
    assert version_of(connection) == 1 < SCHEMA
    connection.close()
