"""What older versions wrote is opened."""

from __future__ import annotations

from pathlib import Path

import pytest

from drillapp.decks.load import load_deck
from drillapp.desk.desk import TeachersDesk
from drillapp.learning.prior import Prior
from drillapp.learning.prior_file import read_prior
from drillapp.records import open_log
from drillapp.records.schema import SCHEMA
from drillapp.records.set_work import open_work

from .make_old import PIN
from .material import NOON, answer, filled, ids

OLD = Path(__file__).with_name("old")


def _kept(pattern: str) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("path", sorted(OLD.glob(pattern)), ids=lambda path: path.name)


@_kept("*.sqlite")
def test_logs_of_every_schema_so_far_open_with_all_their_answers(path: Path, tmp_path: Path) -> None:
    copy = tmp_path / "practice.sqlite"
    copy.write_bytes(path.read_bytes())
    assert ids(copy) == [answer(number).id for number in range(6)]


@_kept("*.handin")
def test_hand_ins_of_every_schema_so_far_are_collected(path: Path, tmp_path: Path) -> None:
    with open_log(tmp_path / "teacher.sqlite") as log:
        taken_back = 0 if path.stem == "schema-1" else 2
        assert log.collect(path).new == 6 + taken_back
        assert [one.id for one in log.answers()] == [answer(number).id for number in range(6)]


def _opened(number: int, tmp_path: Path) -> Path:
    path = tmp_path / "practice.sqlite"
    path.write_bytes((OLD / f"schema-{number}.sqlite").read_bytes())
    return path


def test_there_is_a_log_of_every_schema() -> None:
    assert [path.stem for path in sorted(OLD.glob("*.sqlite"))] == [
        f"schema-{number}" for number in range(1, SCHEMA + 1)
    ]


@pytest.mark.parametrize("number", [2, 3])
def test_name_settings_and_what_was_taken_back_are_as_they_were(number: int, tmp_path: Path) -> None:
    with open_log(_opened(number, tmp_path)) as log:
        assert log.learners.get("ana").name == "Ana"
        assert log.settings.get("minutes", "ana") == 15
        assert log.row_counts()["ana"] == 8  # one answer and what takes it back
        assert [one.answered for one in log.sessions.unfinished("ana")] == [6]


def test_a_teachers_classes_work_and_lock_are_as_they_were(tmp_path: Path) -> None:
    with open_log(_opened(3, tmp_path)) as log:
        desk = TeachersDesk(log, tmp_path, lambda: NOON)
        assert not desk.open
        desk.lock.open(PIN, NOON)
        (line,) = desk.lines()
        assert line.school_class is not None and line.school_class.name == "4b"
        ana, mia = desk.students(line.school_class.id)
        assert (ana.learners, mia.remark, len(mia.joined)) == (("ana",), "plays left-handed", 1)
        work = desk.work_of(ana)
        assert work is not None and work.work == open_work(OLD / "schema-3.setwork")
        log.append(answer(7, learner="gone"))
        assert "gone" not in log.row_counts()


@_kept("*.toml")
def test_the_first_decks_are_read(path: Path) -> None:
    deck, faults = load_deck(path)
    assert faults == () and deck is not None and len(deck.patterns) > 5


def test_a_prior_is_read() -> None:
    assert read_prior((OLD / "prior.json").read_text()) == Prior()


def test_the_fixtures_hold_what_they_say(tmp_path: Path) -> None:
    filled(tmp_path / "practice.sqlite", range(6))
    assert ids(tmp_path / "practice.sqlite") == [answer(number).id for number in range(6)]
