"""The desk over a log: collecting, classes, set work, deleting. Source: design.md; common practice."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from drillapp.desk.counts import count
from drillapp.desk.desk import TeachersDesk, signs_to_set
from drillapp.records import SET_WORK, Answer, FactorAnswer, open_log

START = 1_790_000_000.0
DAY = 86_400.0


def answer(learner: str, number: int, wrong: bool, **extra: object) -> Answer:
    read = "struck" if wrong else "tied on"
    return Answer(
        id=f"{learner}-{number}",
        learner=learner,
        session="s",
        utc=START + 60 * number,
        offset=0,
        drill="page to sound",
        pattern="D- DU -U DU",
        meter="4/4",
        tempo=90,
        layers=("letters", "staff"),
        candidates=("D- DU -U DU", "D- DU DU DU"),
        pick=int(wrong),
        written=0,
        factors=(FactorAnswer("2", ("tie",), "tied on", read, not wrong, 0.5, True),),
        seconds=20.0,
        heard=(1, 1),
        first_seen=True,
        why="repair",
        asked=("tie",),
        extra=extra,
    )


@pytest.fixture
def handed(tmp_path: Path) -> Path:
    """Four students of forty answers each, who all read ties as strokes."""
    folder = tmp_path / "handed"
    folder.mkdir()
    for name in ("Alva", "Benno", "Carla", "Dov"):
        with open_log(tmp_path / f"{name}.sqlite") as log:
            learner = log.learners.add(name, START)
            for number in range(40):
                log.append(answer(learner.id, number, number % 4 > 0))
            log.hand_in(folder / f"{name}.handin", learner.id)
    return folder


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[TeachersDesk]:
    with open_log(tmp_path / "teacher" / "practice.sqlite") as log:
        yield TeachersDesk(log, tmp_path / "teacher", lambda: START + DAY)


def test_a_class_is_collected_and_read(desk: TeachersDesk, handed: Path) -> None:
    group = desk.log.classes.add("Tuesday group")
    desk.log.classes.add_students(("Alva", "Benno", "Carla", "Dov", "Edda"), group.id)
    assert all(line.done for line in desk.collect([handed]))
    (line,) = desk.lines()
    assert (line.students, line.handed_in) == (5, 4)
    made = desk.table(group.id)
    assert made.table.absent == ("Edda",)
    assert [one.feature for one in made.table.by_most] == ["tie"]
    assert signs_to_set(made.table) == ("tie",)
    alva = made.students[0]
    assert made.seen[alva.id] is not None
    assert [one.feature for one in desk.figures(alva).signs] == ["tie"]


def test_counts_that_are_kept_ready_are_those_of_the_log(desk: TeachersDesk, handed: Path) -> None:
    desk.collect([handed])
    for student in desk.students(None):
        (learner,) = student.learners
        assert desk.log.tallies.get(learner) is not None
        assert desk.counts(student) == count(desk.log.entries(learner))
        desk.log.append(answer(learner, 99, False))
        assert desk.log.tallies.get(learner) is None  # out of date
        assert desk.counts(student).answers == 41


def test_work_that_is_set_is_reported_by_the_answers(desk: TeachersDesk, handed: Path) -> None:
    group = desk.log.classes.add("Tuesday group")
    desk.log.classes.add_students(("Alva", "Benno"), group.id)
    desk.collect([handed])
    work = desk.suggest("Tuesday group", ("tie", "rest", "mute"))
    assert work.signs == ("tie", "rest") and work.until == desk.day + timedelta(days=7)
    desk.give(work, group.id)
    alva, benno = desk.students(group.id)
    for number in range(15):
        utc = {"utc": work.made + 60 * number}
        made = answer(alva.learners[0], 100 + number, False, **{SET_WORK: work.id})
        desk.log.append(Answer(**{**made.__dict__, **utc, "settled": None}))
    done, nothing = desk.work_of(alva), desk.work_of(benno)
    assert done is not None and nothing is not None
    assert (done.days, done.of) == (1, 1) and nothing.days == 0
    assert desk.work_of(desk.students(None)[0]) is None


def test_a_student_is_deleted_with_all_and_stays_away(desk: TeachersDesk, handed: Path) -> None:
    desk.collect([handed])
    alva = desk.students(None)[0]
    assert desk.delete(alva) == 40
    desk.collect([handed])
    assert [one.name for one in desk.students(None)] == ["Benno", "Carla", "Dov"]


def test_whose_last_answer_is_long_ago_is_asked_about(desk: TeachersDesk, handed: Path) -> None:
    desk.collect([handed])
    assert desk.older_than(2.0) == ()
    desk.now = lambda: START + 800 * DAY
    assert [one.name for one in desk.older_than(2.0)] == ["Alva", "Benno", "Carla", "Dov"]
