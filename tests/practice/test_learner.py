"""Who practises on this device."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from drillapp.practice.learner import FIRST_LEARNER, WhoPractises
from drillapp.records import PracticeLog, open_log

START = 1_790_000_000.0


@pytest.fixture
def log(tmp_path: Path) -> Iterator[PracticeLog]:
    with open_log(tmp_path / "practice.sqlite") as opened:
        yield opened


@pytest.fixture
def who(log: PracticeLog) -> WhoPractises:
    return WhoPractises(log, lambda: START)


def test_on_a_new_device_there_is_a_first_learner(who, log) -> None:
    assert who.current.name == FIRST_LEARNER
    assert who.all() == log.learners.all() == (who.current,)
    assert WhoPractises(log, lambda: START).current == who.current


def test_a_learner_that_is_there_is_taken_rather_than_made(log) -> None:
    ana = log.learners.add("Ana", START)
    assert WhoPractises(log, lambda: START).all() == (ana,)


def test_choosing_is_by_id_and_adding_chooses_nobody(who) -> None:
    first, ana = who.current, who.add("Ana")
    assert who.current == first
    who.choose(ana.id)
    assert who.current == ana
    with pytest.raises(LookupError):
        who.choose("nobody")
    assert who.current == ana


def test_a_new_name_shows_at_once(who) -> None:
    ana = who.add("Ana")
    who.rename(who.current.id, "Mira")
    assert who.current.name == "Mira"
    who.rename(ana.id, "Ana B")
    assert {one.name for one in who.all()} == {"Mira", "Ana B"} and who.current.name == "Mira"
    for change in (lambda: who.add("  "), lambda: who.rename(ana.id, "")):
        with pytest.raises(ValueError, match="name"):
            change()


def test_putting_the_current_learner_aside_leaves_another_one(who) -> None:
    first, ana = who.current, who.add("Ana")
    who.archive(first.id)
    assert who.current == ana
    assert who.all() == (ana,)
    assert {one.id for one in who.all(archived=True)} == {first.id, ana.id}
    who.restore(first.id)
    assert {one.id for one in who.all()} == {first.id, ana.id} and who.current == ana
    who.archive(first.id)
    assert who.current == ana


def test_putting_the_last_learner_aside_makes_a_new_one(who) -> None:
    first = who.current
    who.archive(first.id)
    assert who.current.id != first.id and who.current.name == FIRST_LEARNER
    assert who.all() == (who.current,)


def test_who_only_handed_in_is_no_learner_here(who, log, tmp_path) -> None:
    """A collected student is the desk's: not listed, never practised as, not even where all others go."""
    with open_log(tmp_path / "student.sqlite") as student:
        zoe = student.learners.add("Zoë", START)
        path = student.hand_in(tmp_path / "zoe.handin", zoe.id).path
    log.collect(path)
    assert [one.name for one in who.all(archived=True)] == [FIRST_LEARNER]
    with pytest.raises(LookupError, match="another device"):
        who.choose(zoe.id)
    who.archive(who.current.id)
    assert who.current.id != zoe.id and who.current.here


def test_a_log_with_collected_students_alone_gets_a_first_learner(log, tmp_path) -> None:
    with open_log(tmp_path / "student.sqlite") as student:
        path = student.hand_in(tmp_path / "zoe.handin", student.learners.add("Zoë", START).id).path
    log.collect(path)
    assert WhoPractises(log, lambda: START).current.name == FIRST_LEARNER
