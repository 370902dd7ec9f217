"""The file of set work: what is written is read again, and what is wrong in it is named.

Source of the form: RFC 8259 (JSON), ISO 8601 (dates); the bounds are those of the settings.
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from drillapp.records import PracticeLog, SetWork, SetWorkError
from drillapp.records.set_work import MOST_BYTES, open_work, read_work, work_text, write_work

WORK = SetWork(
    "Tuesday group", 1.79e9, date(2026, 12, 1), 10, ("folk",), ("tie", "rest"), ("staff",), 0.8, "Slowly."
)


def test_a_file_gives_back_what_was_set(tmp_path: Path) -> None:
    write_work(WORK, tmp_path / "a.setwork")
    assert open_work(tmp_path / "a.setwork") == WORK
    plain = SetWork("Ida", 0.0, date(2026, 1, 1))
    assert read_work(work_text(plain)) == plain


def test_it_runs_until_its_day_is_over() -> None:
    assert WORK.runs(date(2026, 12, 1)) and not WORK.runs(date(2026, 12, 2))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"drillapp": "hand in"}, "file of another kind"),
        ({"schema": 2}, "a newer drillapp made it"),
        ({"schema": True}, "no schema version"),
        ({"until": "1.12.2026"}, "a date is written as 2026-12-01"),
        ({"minutes": 600}, "minutes is 600; it is a number from 2 to 60"),
        ({"minutes": 2.5}, "whole number"),
        ({"pace": "fast"}, "pace is fast"),
        ({"signs": ["ties"]}, "'ties' is not known; choose from beat"),
        ({"signs": ["tie", "tie"]}, "names one twice"),
        ({"layers": "staff"}, "layers is a list"),
        ({"decks": [""]}, "decks is ''"),
        ({"note": "a\u0000b"}, "note is"),
        ({"for": ""}, "for is ''"),
        ({"more": 1}, "'more' is not part of it"),
    ],
)
def test_what_is_wrong_is_named_with_what_would_be_right(
    change: dict[str, Any], words: str, tmp_path: Path
) -> None:
    path = tmp_path / "bad.setwork"
    path.write_text(json.dumps({**json.loads(work_text(WORK)), **change}))
    with pytest.raises(SetWorkError) as refused:
        open_work(path)
    assert words in str(refused.value) and str(path) in str(refused.value)


@pytest.mark.parametrize("data", [b"", b"\xff\xfe", b"[" * 60_000, b"{}", b"null", b"x" * (MOST_BYTES + 1)])
def test_what_is_no_set_work_at_all_is_refused(data: bytes, tmp_path: Path) -> None:
    (tmp_path / "bad").write_bytes(data)
    with pytest.raises(SetWorkError):
        open_work(tmp_path / "bad")
    with pytest.raises(SetWorkError):
        open_work(tmp_path)
    with pytest.raises(SetWorkError):
        write_work(WORK, tmp_path / "nowhere" / "a.setwork")


def test_the_log_keeps_what_was_given_to_whom(log: PracticeLog) -> None:
    log.set_work.give(WORK, ("class-1", "ida"))
    later = SetWork("Ida", 1.8e9, date(2026, 12, 9))
    log.set_work.give(later, ("ida",))
    assert log.set_work.of(("ida",)) == (later, WORK)
    assert log.set_work.of(("class-1", "other")) == (WORK,)
    assert set(log.set_work.whose(WORK.id)) == {"class-1", "ida"}
    log.set_work.end(WORK.id)
    assert log.set_work.of(("ida", "class-1")) == (later,)
