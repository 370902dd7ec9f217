"""Collecting files and folders: one bad file never stops the rest. Source: design.md, section 7."""

from __future__ import annotations

import gzip
from collections.abc import Iterator
from pathlib import Path

import pytest

from drillapp.desk.collecting import collect_all, files_in, mark_read, waiting, watch, watched
from drillapp.records import PracticeLog, open_log


@pytest.fixture
def log(tmp_path: Path) -> Iterator[PracticeLog]:
    with open_log(tmp_path / "practice.sqlite") as opened:
        yield opened


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with three hand-ins, one of them deeper, and much that is none."""
    made = tmp_path / "handed"
    (made / "tuesday").mkdir(parents=True)
    for name, place in (("Alva", made), ("Benno", made), ("Carla", made / "tuesday")):
        with open_log(tmp_path / f"{name}.sqlite") as student:
            learner = student.learners.add(name, 1000.0)
            student.hand_in(place / f"{name}.handin", learner.id)
    (made / "bad.handin").write_bytes(b"not gzip at all")
    (made / "cut.handin").write_bytes((made / "Alva.handin").read_bytes()[:-20])
    (made / "other.gz").write_bytes(gzip.compress(b'{"foreign": 1}\n'))
    (made / "letter.txt").write_text("Dear teacher")
    (made / ".hidden.handin").write_bytes(b"")
    return made


def test_a_folder_gives_a_line_a_file_and_the_good_ones_are_taken(log: PracticeLog, folder: Path) -> None:
    lines = collect_all(log, [folder])
    done = {line.path.name: line.names for line in lines if line.done}
    faults = {line.path.name: str(line.fault) for line in lines if not line.done}
    assert done == {"Alva.handin": ("Alva",), "Benno.handin": ("Benno",), "Carla.handin": ("Carla",)}
    assert set(faults) == {"bad.handin", "cut.handin", "other.gz"}
    assert all(str(folder / name) in fault for name, fault in faults.items())
    assert {one.name for one in log.learners.all()} == {"Alva", "Benno", "Carla"}


def test_files_that_are_named_are_tried_whatever_their_ending(log: PracticeLog, folder: Path) -> None:
    lines = collect_all(log, [folder / "letter.txt", folder / "gone.handin", folder / "Benno.handin"])
    assert [line.done is not None for line in lines] == [False, False, True]


def test_links_do_not_lead_out_of_a_folder_or_round_in_it(folder: Path) -> None:
    (folder / "round").symlink_to(folder, target_is_directory=True)
    assert len(files_in([folder])) == 6


def test_stopping_keeps_what_was_collected(log: PracticeLog, folder: Path) -> None:
    class Stopped(Exception):
        pass

    def progress(number: int, of: int, share: float) -> None:
        if number == 2:
            raise Stopped

    with pytest.raises(Stopped):
        collect_all(log, [folder / "Alva.handin", folder / "Benno.handin"], progress)
    assert [one.name for one in log.learners.all()] == ["Alva"]


def test_the_watched_folder_is_read_once_and_again_where_a_file_changed(
    log: PracticeLog, folder: Path
) -> None:
    assert waiting(log) == ()
    watch(log, folder)
    assert watched(log) == folder
    assert len(waiting(log)) == 6
    mark_read(log, collect_all(log, waiting(log)))
    assert waiting(log) == ()
    (folder / "bad.handin").write_bytes((folder / "Benno.handin").read_bytes())
    assert [path.name for path in waiting(log)] == ["bad.handin"]
    watch(log, None)
    assert watched(log) is None
