"""What can be done where a log cannot be used; nothing is deleted or written over."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from drillapp.records import Answer, LogError, open_log
from drillapp.records.recovery import copies_of, open_copy, put_log_aside, save_readable

MakeAnswer = Callable[..., Answer]


def filled(path: Path, answer: MakeAnswer, count: int) -> None:
    with open_log(path) as log:
        ana = log.learners.add("Ana", now=1000.0)
        for number in range(count):
            log.append(answer(number, learner=ana.id))


def test_a_log_set_aside_makes_room_for_a_new_one_and_can_be_opened_again(
    path: Path, answer: MakeAnswer
) -> None:
    filled(path, answer, 5)
    before = path.read_bytes()
    aside = put_log_aside(path)
    assert aside.read_bytes() == before and not path.exists()
    filled(path, answer, 2)
    assert copies_of(path) == (aside,)
    open_copy(path, aside)
    with open_log(path) as log:
        assert log.count() == 5
    assert len(copies_of(path)) == 2


def test_what_can_be_read_is_saved_for_another_log_to_collect(path: Path, answer: MakeAnswer) -> None:
    filled(path, answer, 20)
    data = bytearray(path.read_bytes())
    data[:200] = bytes(200)
    path.write_bytes(data)
    saved = save_readable(path, path.with_name("saved"))
    assert saved.answers == 20 and path.read_bytes() == bytes(data)
    with open_log(path.with_name("other.sqlite")) as other:
        assert other.collect(path.with_name("saved")).new == 20
        assert [one.name for one in other.learners.all()] == ["Ana"]


def test_a_copy_that_is_gone_is_said(path: Path, answer: MakeAnswer) -> None:
    filled(path, answer, 1)
    with pytest.raises(LogError, match="cannot be put in the log's place"):
        open_copy(path, path.with_name("gone"))
    assert path.exists()
