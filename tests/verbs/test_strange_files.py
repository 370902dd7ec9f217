"""Pipes, devices and names that no disk takes, given to the verbs: a sentence, no traceback, no wait."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from drillapp.__main__ import main
from drillapp.records import open_log


def fault(capsys: pytest.CaptureFixture[str]) -> str:
    return capsys.readouterr().err + capsys.readouterr().out


@pytest.mark.parametrize("verb", [["fit"], ["check"], ["convert"]])
@pytest.mark.parametrize("what", ["pipe", "/dev/full", "/dev/zero", "folder"])
def test_what_is_no_file_is_refused_in_a_sentence(tmp_path: Path, capsys, verb: list[str], what: str) -> None:
    given = Path(what) if what.startswith("/") else tmp_path / f"{what}.toml"
    if what == "pipe":
        os.mkfifo(given)
    if what == "folder":
        given.mkdir()
    code = main([*verb, str(given), *([str(tmp_path / "out.mid")] if verb == ["convert"] else [])])
    assert code == 1
    said = capsys.readouterr()
    assert str(given) in said.err + said.out


@pytest.mark.parametrize("ending", ["mid", "musicxml", "mxl"])
def test_a_pipe_of_any_kind_is_not_waited_for(tmp_path: Path, capsys, ending: str) -> None:
    os.mkfifo(tmp_path / f"a.{ending}")
    assert main(["convert", str(tmp_path / f"a.{ending}"), str(tmp_path / "out.toml")]) == 1
    assert "cannot be read" in capsys.readouterr().err


def test_data_that_is_a_file_is_refused_in_a_sentence(tmp_path: Path, capsys) -> None:
    (tmp_path / "file").write_text("")
    for verb in (["fit"], ["hand-in", "-o", str(tmp_path / "out")], ["collect", str(tmp_path / "file")]):
        assert main([verb[0], "--data", str(tmp_path / "file"), *verb[1:]]) == 1
        assert "cannot be used" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["a" * 300, "a" * 5000, "folder/" * 900])
def test_a_name_that_no_disk_takes_is_refused_in_a_sentence(tmp_path: Path, capsys, name: str) -> None:
    open_log(tmp_path / "practice.sqlite").close()
    assert main(["hand-in", "--data", str(tmp_path), "-o", str(tmp_path / name)]) == 1
    assert capsys.readouterr().err.startswith("drillapp: ")


def test_a_strange_name_to_collect_or_a_folder_of_nobody_is_refused_in_a_sentence(
    tmp_path: Path, capsys, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for given in (["--data", str(tmp_path), "a" * 300], ["--data", "~nobody-of-this-name/x", "file"]):
        assert main(["collect", *given]) == 1
        assert capsys.readouterr().err.startswith("drillapp: ")
