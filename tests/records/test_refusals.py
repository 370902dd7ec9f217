"""Locked, read-only, full, newer or another program's: a clear error, and nothing is lost."""

from __future__ import annotations

import hashlib
import sqlite3
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from drillapp.records import (
    Answer,
    FolderError,
    LogForeign,
    LogFull,
    LogLocked,
    LogTooNew,
    PracticeLog,
    open_log,
)


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def holder(path: Path, *statements: str) -> str:
    """A program that takes a lock by SQLite's own means and keeps it until a line comes in."""
    return (
        "import sqlite3\n"
        f"connection = sqlite3.connect({str(path)!r}, isolation_level=None)\n"
        f"for statement in {statements!r}:\n"
        "    connection.execute(statement).fetchall()\n"
        "print('held', flush=True)\n"
        "input()\n"
    )


@pytest.fixture
def held(
    path: Path, python: Callable[[str], subprocess.Popen[str]], answer: Callable[..., Answer]
) -> subprocess.Popen[str]:
    """Another process that holds the whole file."""
    with open_log(path) as log:
        log.append(answer())
    lock = "PRAGMA locking_mode = EXCLUSIVE", "BEGIN EXCLUSIVE", "CREATE TABLE other (a)"
    child = python(holder(path, *lock))
    assert child.stdout is not None
    assert child.stdout.readline() == "held\n"
    return child


def test_a_log_held_by_another_process_is_not_opened(
    path: Path, held: subprocess.Popen[str], answer: Callable[..., Answer]
) -> None:
    with pytest.raises(
        LogLocked, match=r"another program is using the practice log.*Close the other program"
    ):
        open_log(path, wait=0.1)
    assert not list(path.parent.glob("*damaged*"))
    held.communicate("go\n", timeout=30)
    with open_log(path) as log:
        assert log.answers() == (answer(),)


def test_an_answer_given_while_the_log_is_locked_waits_and_is_written_later(
    path: Path, python: Callable[[str], subprocess.Popen[str]], answer: Callable[..., Answer]
) -> None:
    with open_log(path, wait=0.1) as log:
        log.append(answer(0))
        child = python(holder(path, "BEGIN IMMEDIATE"))
        assert child.stdout is not None
        child.stdout.readline()
        with pytest.raises(LogLocked):
            log.append(answer(1))
        with pytest.raises(LogLocked):
            log.append(answer(1))
        assert log.unsaved == (answer(1),)
        assert log.answers() == (answer(0),)
        child.communicate("go\n", timeout=30)
        log.append(answer(2))
        assert log.unsaved == ()
        assert [one.id for one in log.answers()] == ["answer-0000", "answer-0001", "answer-0002"]


def test_closing_writes_what_waits(
    path: Path, python: Callable[[str], subprocess.Popen[str]], answer: Callable[..., Answer]
) -> None:
    log = open_log(path, wait=0.1)
    child = python(holder(path, "BEGIN IMMEDIATE"))
    assert child.stdout is not None
    child.stdout.readline()
    with pytest.raises(LogLocked):
        log.append(answer())
    child.communicate("go\n", timeout=30)
    log.close()
    with open_log(path) as again:
        assert again.count() == 1


def test_two_processes_may_write_one_log(path: Path, python: Callable[[str], subprocess.Popen[str]]) -> None:
    program = (
        "from conftest import make_answer\n"
        "from drillapp.records import open_log\n"
        f"log = open_log({str(path)!r}, wait=30)\n"
        "for number in range(FIRST, FIRST + 20):\n"
        "    log.append(make_answer(number))\n"
        "log.close()\n"
    )
    open_log(path).close()
    children = [python(program.replace("FIRST", first)) for first in ("0", "20")]
    assert [child.wait(60) for child in children] == [0, 0]
    with open_log(path) as log:
        assert log.count() == 40


@pytest.mark.parametrize("what", ["file and folder", "file", "folder"])
def test_a_log_that_cannot_be_written_is_said_to_be_read_only(
    open_folder: Path,
    what: str,
    answer: Callable[..., Answer],
    read_only: Callable[[Path], None],
    without_rights: Callable[[Callable[[], str]], str],
) -> None:
    path = open_folder / "practice.sqlite"
    with open_log(path) as log:
        log.append(answer())
    path.chmod(0o644)  # the user without rights is root's stand-in, and is let in to read
    if "file" in what:
        read_only(path)
    if "folder" in what:
        read_only(open_folder)
    before = digest(path)
    words = without_rights(lambda: str(open_log(path, wait=0.1)))
    assert words.startswith("LogReadOnly: ")
    assert "cannot be written to" in words
    assert digest(path) == before
    open_folder.chmod(0o755)
    path.chmod(0o644)
    with open_log(path) as log:
        assert log.answers() == (answer(),)


def test_a_new_log_in_a_read_only_folder_is_refused(
    open_folder: Path, read_only: Callable[[Path], None], without_rights: Callable[[Callable[[], str]], str]
) -> None:
    read_only(open_folder)
    words = without_rights(lambda: str(open_log(open_folder / "practice.sqlite")))
    assert words.startswith("LogReadOnly: ")
    assert list(open_folder.iterdir()) == []


def test_a_log_that_may_not_be_read_is_named(
    open_folder: Path, without_rights: Callable[[Callable[[], str]], str]
) -> None:
    path = open_folder / "practice.sqlite"
    open_log(path).close()
    path.chmod(0)
    words = without_rights(lambda: str(open_log(path)))
    assert words.startswith("LogReadOnly: ")
    assert "cannot be read" in words


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(FolderError, match=r"file.*cannot be used"):
        open_log(tmp_path / "file" / "log")


def test_a_full_disk_keeps_the_answer_waiting(log: PracticeLog, answer: Callable[..., Answer]) -> None:
    with log._store.reading() as connection:
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(LogFull, match="the disk is full"):
        for number in range(50):
            log.append(answer(number))
    saved = log.count()
    assert len(log.unsaved) == 1
    with log._store.reading() as connection:
        connection.execute("PRAGMA max_page_count = 1000000")
    log.save()
    assert log.count() == saved + 1


def test_a_newer_log_is_left_alone(path: Path, answer: Callable[..., Answer]) -> None:
    with open_log(path) as log:
        log.append(answer())
    newer = sqlite3.connect(path)
    newer.execute("UPDATE meta SET value = '99' WHERE name = 'schema'")
    newer.execute("PRAGMA user_version = 99")
    newer.commit()
    newer.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    newer.close()
    before = digest(path)
    with pytest.raises(LogTooNew, match=r"newer drillapp \(version 99.*Update drillapp"):
        open_log(path)
    assert digest(path) == before
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_another_programs_database_is_left_alone(path: Path) -> None:
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE recipes (name)")
    other.close()
    before = digest(path)
    with pytest.raises(LogForeign, match="another program's database"):
        open_log(path)
    assert digest(path) == before
