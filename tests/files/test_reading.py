"""Only plain files are read, and no more of them than is allowed."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from drillapp.files.reading import NotPlain, TooLarge, read_bounded


def test_a_file_is_read_up_to_the_most_that_is_allowed(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"12345")
    assert read_bounded(tmp_path / "a", 5) == b"12345"
    with pytest.raises(TooLarge, match="this has 5 bytes; at most 4 are read"):
        read_bounded(tmp_path / "a", 4)


@pytest.mark.parametrize("path", ["/dev/zero", "/dev/full", "/dev/null", "/"])
def test_devices_and_folders_are_refused(path: str) -> None:
    with pytest.raises(NotPlain, match="a pipe, a device or a folder"):
        read_bounded(Path(path), 10)


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(NotPlain):
        read_bounded(tmp_path / "pipe", 10)


def test_no_file_is_kept_open(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"12345")
    before = len(os.listdir("/proc/self/fd"))
    for path, most in ((tmp_path, 9), (tmp_path / "a", 4), (tmp_path / "a", 9)):
        for _ in range(5):
            try:
                read_bounded(path, most)
            except OSError:
                continue
    assert len(os.listdir("/proc/self/fd")) == before
