"""What older versions wrote is opened."""

from __future__ import annotations

from pathlib import Path

import pytest

from drillapp.records import open_log

from .material import answer, filled, ids

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
        assert log.collect(path).new == 6
        assert [one.id for one in log.answers()] == [answer(number).id for number in range(6)]


def test_the_fixtures_hold_what_they_say(tmp_path: Path) -> None:
    filled(tmp_path / "practice.sqlite", range(6))
    assert ids(tmp_path / "practice.sqlite") == [answer(number).id for number in range(6)]
