"""Where the learner's data is kept."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import platformdirs
import pytest

from drillapp.records import FolderError, data_folder


def test_the_argument_comes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DRILLAPP_DATA", str(tmp_path / "variable"))
    assert data_folder(tmp_path / "argument") == tmp_path / "argument"
    assert data_folder(str(tmp_path / "argument")) == tmp_path / "argument"
    assert (tmp_path / "argument").is_dir()
    assert not (tmp_path / "variable").exists()


def test_then_the_variable(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DRILLAPP_DATA", str(tmp_path / "a" / "b"))
    assert data_folder() == tmp_path / "a" / "b"
    assert (tmp_path / "a" / "b").is_dir()


def test_then_the_platforms_own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # On Linux: XDG Base Directory Specification 0.8, $XDG_DATA_HOME.
    monkeypatch.setenv("DRILLAPP_DATA", "")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert data_folder() == Path(platformdirs.user_data_dir("drillapp", appauthor=False))
    assert data_folder().is_dir()


def test_a_tilde_is_the_home_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    assert data_folder("~/practice") == tmp_path / "practice"


def test_a_file_in_its_place_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(FolderError, match=r"file: the folder that was asked for cannot be used"):
        data_folder(tmp_path / "file")
    monkeypatch.setenv("DRILLAPP_DATA", str(tmp_path / "file" / "below"))
    with pytest.raises(FolderError, match=r"the folder in DRILLAPP_DATA cannot be used.*Choose another"):
        data_folder()


def test_a_folder_that_cannot_be_written_is_named(
    open_folder: Path, read_only: Callable[[Path], None], without_rights: Callable[[Callable[[], str]], str]
) -> None:
    read_only(open_folder)
    assert without_rights(lambda: str(data_folder(open_folder))).startswith("FolderError: ")
    assert without_rights(lambda: str(data_folder(open_folder / "new"))).startswith("FolderError: ")


def test_nothing_is_left_behind_by_the_trial(tmp_path: Path) -> None:
    data_folder(tmp_path / "data")
    assert list((tmp_path / "data").iterdir()) == []
