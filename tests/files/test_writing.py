"""What only its user may read is so whatever the umask says: permission bits of POSIX (IEEE Std 1003.1)."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest

from drillapp.files.writing import make_private, make_private_folder, write_whole


@pytest.fixture(autouse=True)
def loose() -> Iterator[None]:
    before = os.umask(0)
    yield
    os.umask(before)


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_every_folder_that_is_made_is_private_and_those_there_stay(tmp_path: Path) -> None:
    (tmp_path / "there").mkdir(mode=0o755)
    make_private_folder(tmp_path / "there" / "a" / "b")
    make_private_folder(tmp_path / "there" / "a" / "b")
    assert [mode(tmp_path / "there" / one) for one in (".", "a", "a/b")] == [0o755, 0o700, 0o700]


def test_a_file_in_a_folders_place_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(NotADirectoryError):
        make_private_folder(tmp_path / "file")
    with pytest.raises(NotADirectoryError):
        make_private_folder(tmp_path / "file" / "inside")


def test_a_private_file_is_private_though_others_could_read_the_old_one(tmp_path: Path) -> None:
    write_whole(tmp_path / "one", b"x")
    assert mode(tmp_path / "one") == 0o666
    write_whole(tmp_path / "one", b"x", private=True)
    make_private(tmp_path / "two")
    assert [mode(tmp_path / one) for one in ("one", "two")] == [0o600, 0o600]
