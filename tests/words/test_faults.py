"""A fault's sentence in the catalogs is the one that the fault itself says."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from drillapp import desk, records
from drillapp.records import data_folder, open_log
from drillapp.records.errors import FolderError, LogError, Remark
from drillapp.words.faults import COUNTED, FAULTS, fault_said

ROOMS = (Path(records.__file__).parent, Path(desk.__file__).parent)
CHOSEN_THERE = {"folder-asked-for", "folder-in-variable", "folder-of-user"}  # a code that is worked out


def coded() -> Iterator[tuple[str, ast.Call]]:
    """Every call in the rooms that makes a fault with a code."""
    for path in sorted(path for room in ROOMS for path in room.glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                for keyword in node.keywords:
                    if keyword.arg == "code" and isinstance(keyword.value, ast.Constant):
                        yield str(keyword.value.value), node


def named(call: ast.Call) -> str:
    """The sentence with its values by the names of their places."""
    given = next((one.value for one in call.keywords if one.arg == "places"), ast.Dict([], []))
    assert isinstance(given, ast.Dict)
    names = {}
    for key, value in zip(given.keys, given.values, strict=True):
        assert isinstance(key, ast.Constant)
        inner = value.values[0].value if isinstance(value, ast.JoinedStr) else value  # type: ignore[attr-defined]
        names[ast.unparse(inner)] = key.value
    sentence = call.args[0]
    pieces = sentence.values if isinstance(sentence, ast.JoinedStr) else [sentence]
    return "".join(
        str(one.value) if isinstance(one, ast.Constant) else f"%({names[ast.unparse(one.value)]})"  # type: ignore[attr-defined]
        for one in pieces
    )


def test_every_code_has_its_sentence() -> None:
    codes = [code for code, _call in coded()]
    assert set(codes) | CHOSEN_THERE == set(FAULTS) | set(COUNTED)
    assert len(codes) == len(set(codes))  # one code, one sentence


@pytest.mark.parametrize(("code", "call"), [one for one in coded() if one[0] in FAULTS])
def test_both_sentences_are_the_same(code: str, call: ast.Call) -> None:
    assert named(call) == re.sub(r"(%\(\w+\))[sd]", r"\1", FAULTS[code])


def test_a_folder_that_cannot_be_used_says_who_chose_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    wrong = tmp_path / "file"
    wrong.write_text("no folder")
    with pytest.raises(FolderError) as asked:
        data_folder(wrong)
    monkeypatch.setenv("DRILLAPP_DATA", str(wrong))
    with pytest.raises(FolderError) as variable:
        data_folder()
    monkeypatch.delenv("DRILLAPP_DATA")
    monkeypatch.setattr("platformdirs.user_data_dir", lambda *_args, **_given: str(wrong))
    with pytest.raises(FolderError) as user:
        data_folder()
    assert {one.value.code for one in (asked, variable, user)} == CHOSEN_THERE
    for one in (asked, variable, user):
        assert fault_said(one.value) == str(one.value)


def test_answers_saved_and_lost_are_counted(tmp_path: Path) -> None:
    broken = tmp_path / "practice.sqlite"
    broken.write_bytes(b"not a database at all")
    with open_log(broken) as log:
        (notice,) = log.notices
        assert notice.code == "log-rescued" and fault_said(notice) == notice
    lost = Remark("", code="log-part-rescued", places={"file": "a.old", "count": 1, "lost": 2000})
    assert fault_said(lost) == (
        "The practice log was damaged. It is kept as a.old, and 1 answer was saved into a new log. "
        "At least 2,000 could not be read."
    )
    left_out = Remark("", code="answers-left-out", places={"count": 1200})
    assert fault_said(left_out) == (
        "1,200 answers in the practice log are damaged and left out. The file is kept as it is."
    )
    journal = Remark("", code="journal-rescued", places={"count": 1})
    assert fault_said(journal) == "1 answer was saved from a damaged journal of the practice log."


def test_a_fault_without_a_code_is_said_as_it_was_written() -> None:
    assert fault_said(ValueError("no such thing")) == "no such thing"
    assert fault_said("a sentence") == "a sentence"


@pytest.mark.usefixtures("bracketed")
def test_a_fault_is_said_in_the_language_in_use(tmp_path: Path) -> None:
    (tmp_path / "practice.sqlite").mkdir()
    with pytest.raises(LogError) as refused:
        open_log(tmp_path / "practice.sqlite")
    assert fault_said(refused.value).startswith("[") and str(refused.value).endswith("must be a file")
