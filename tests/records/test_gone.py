"""The log deleted, replaced, locked or without room while it is open: no shown answer is lost."""

from __future__ import annotations

import os
import shutil
import sqlite3
import stat
import subprocess
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from drillapp.decks.folder import save_deck
from drillapp.decks.load import load_decks
from drillapp.records import Answer, LogError, PracticeLog, data_folder, open_log
from drillapp.records.errors import LogGone
from drillapp.records.recovery import copies_of, open_copy, put_log_aside, save_readable

MakeAnswer = Callable[..., Answer]


@pytest.fixture(autouse=True)
def state(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The system's folder for state, empty."""
    folder = tmp_path_factory.mktemp("state")
    monkeypatch.setenv("XDG_STATE_HOME", str(folder))
    return folder


def ids(log: PracticeLog) -> list[str]:
    return sorted(one.id for one in log.answers())


def named(*numbers: int) -> list[str]:
    return [f"answer-{number:04}" for number in numbers]


def delete(path: Path) -> None:
    path.unlink()


def delete_with_journal(path: Path) -> None:
    for one in path.parent.glob(f"{path.name}*"):
        if "waiting" not in one.name:
            one.unlink()


def delete_folder(path: Path) -> None:
    shutil.rmtree(path.parent)


def replace(path: Path) -> None:
    other = path.with_name("other")
    open_log(other).close()
    os.replace(other, path)


@pytest.mark.parametrize("change", [delete, delete_with_journal, delete_folder, replace])
def test_answers_given_after_the_log_was_taken_away_are_there_at_the_next_start(
    tmp_path: Path, answer: MakeAnswer, change: Callable[[Path], None]
) -> None:
    path = tmp_path / "data" / "practice.sqlite"
    log = open_log(path)
    log.append(answer(0))
    change(path)
    for number in (1, 2):
        with pytest.raises(LogGone, match="was deleted or replaced"):
            log.append(answer(number))
        assert log.kept
    log.close()
    with open_log(path) as again:
        assert set(named(1, 2)) <= set(ids(again))
        assert any("could not be written before" in words for words in again.notices)
    with open_log(path) as again:
        assert again.notices == ()
        assert set(named(1, 2)) <= set(ids(again))


def test_a_journal_taken_away_loses_nothing(path: Path, answer: MakeAnswer) -> None:
    log = open_log(path)
    log.append(answer(0))
    Path(f"{path}-wal").unlink()
    log.append(answer(1))
    copy = path.with_name("copy.sqlite")  # what a kill would leave
    for side in ("", "-wal"):
        if Path(f"{path}{side}").exists():
            shutil.copy(f"{path}{side}", f"{copy}{side}")
    with open_log(copy) as killed:
        assert ids(killed) == named(0, 1)
    log.close()
    with open_log(path) as again:
        assert ids(again) == named(0, 1)


def test_an_older_copy_written_over_the_open_log_is_noticed(path: Path, answer: MakeAnswer) -> None:
    with open_log(path) as log:
        log.append(answer(0))
    backup = path.read_bytes()
    with open_log(path) as log:
        for number in range(1, 200):
            log.append(answer(number))
    log = open_log(path)
    log.append(answer(200))
    path.write_bytes(backup)
    with pytest.raises(LogGone):
        log.append(answer(201))
    log.close()
    with open_log(path) as again:
        assert {"answer-0000", "answer-0201"} <= set(ids(again))


def test_an_old_journal_is_not_laid_over_a_backup(
    path: Path, answer: MakeAnswer, python: Callable[[str], subprocess.Popen[str]]
) -> None:
    with open_log(path) as log:
        for number in range(300):
            log.append(answer(number))
    backup = path.read_bytes()
    path.unlink()
    python(
        "import os, signal\n"
        "from conftest import make_answer\n"
        "from drillapp.records import open_log\n"
        f"log = open_log({str(path)!r})\n"
        "for number in range(500, 507):\n"
        "    log.append(make_answer(number))\n"
        "os.kill(os.getpid(), signal.SIGKILL)\n"
    ).communicate(timeout=60)
    path.write_bytes(backup)
    with open_log(path) as log:
        assert ids(log) == named(*range(300), *range(500, 507))
        assert "journal of another" in log.notices[0]
    assert list(path.parent.glob("*-wal.other-*"))


def holder(path: Path) -> str:
    return (
        "import sqlite3, sys\n"
        f"connection = sqlite3.connect({str(path)!r}, isolation_level=None)\n"
        "connection.execute('BEGIN IMMEDIATE')\n"
        "print('held', flush=True)\n"
        "sys.stdin.readline()\n"
    )


def test_answers_given_while_the_log_is_locked_survive_the_app_being_closed(
    path: Path, answer: MakeAnswer, python: Callable[[str], subprocess.Popen[str]]
) -> None:
    log = open_log(path, wait=0.1)
    child = python(holder(path))
    assert child.stdout is not None
    child.stdout.readline()
    for number in (0, 1):
        with pytest.raises(LogError):
            log.append(answer(number))
    assert log.kept
    log.close()
    log.close()
    child.communicate("go\n", timeout=30)
    with open_log(path) as again:
        assert ids(again) == named(0, 1)
        assert again.notices == ("2 answers that could not be written before are now in the practice log.",)
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_an_answer_that_waits_and_is_written_after_all_comes_once(
    path: Path, answer: MakeAnswer, python: Callable[[str], subprocess.Popen[str]]
) -> None:
    log = open_log(path, wait=0.1)
    child = python(holder(path))
    assert child.stdout is not None
    child.stdout.readline()
    with pytest.raises(LogError):
        log.append(answer(0))
    child.communicate("go\n", timeout=30)
    left = {one.name: one.read_bytes() for one in path.parent.glob("*waiting*")}
    log.append(answer(1))
    log.close()
    for name, data in left.items():  # as if it could not be cleared
        path.with_name(name).write_bytes(data)
    with open_log(path) as again:
        assert ids(again) == named(0, 1)


def test_a_full_disk_when_the_app_is_closed_loses_nothing(path: Path, answer: MakeAnswer) -> None:
    log = open_log(path)
    with log._store.reading() as connection:
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages}")
    shown = []
    for number in range(30):
        shown.append(number)
        try:
            log.append(answer(number))
        except LogError:
            assert log.kept
    log.close()
    with open_log(path) as again:
        assert ids(again) == named(*shown)


def test_the_room_for_answers_is_taken_before_the_disk_is_full(path: Path, log: PracticeLog) -> None:
    (waiting,) = path.parent.glob("*waiting*")
    status = waiting.stat()
    assert status.st_size >= 64 * 1024 and status.st_blocks * 512 >= 64 * 1024


def test_two_apps_on_one_log_do_not_take_each_others_waiting_answers(path: Path, answer: MakeAnswer) -> None:
    log = open_log(path)
    (mine,) = path.parent.glob("*waiting*")
    with open_log(path):
        assert mine.exists()
    assert mine.exists()
    log.close()
    assert not mine.exists()


def test_a_line_cut_off_by_a_power_cut_costs_only_itself(path: Path, answer: MakeAnswer) -> None:
    log = open_log(path)
    path.unlink()
    for number in range(3):
        with pytest.raises(LogGone):
            log.append(answer(number))
    log.close()
    (waiting,) = path.parent.glob("*waiting*")
    data = waiting.read_bytes().rstrip(b"\n")
    waiting.write_bytes(data[:-100])
    with open_log(path) as again:
        assert ids(again) == named(0, 1)


@pytest.fixture
def loose() -> Iterator[None]:
    """A umask that leaves every bit to whoever makes a file."""
    before = os.umask(0)
    yield
    os.umask(before)


def readable_by_others(folder: Path) -> list[str]:
    return [str(one) for one in (folder, *folder.rglob("*")) if one.stat().st_mode & 0o077]


@pytest.mark.usefixtures("loose")
def test_only_its_user_may_read_what_is_kept(tmp_path: Path, answer: MakeAnswer, state: Path) -> None:
    inside = data_folder(tmp_path / "new" / "data")
    path = inside / "practice.sqlite"
    with open_log(path) as log:
        log.append(answer())
        log.settings.set("minutes", 15, log.learners.add("Ana").id)
        assert readable_by_others(tmp_path / "new") == []
        with log._store.reading() as connection:
            connection.execute("PRAGMA query_only = ON")
        with pytest.raises(LogError):
            log.append(answer(1))
        log.hand_in(inside / "out.handin")
        assert readable_by_others(tmp_path / "new") == []
    assert any("waiting" in one.name for one in inside.iterdir())
    copy = put_log_aside(path)
    open_copy(path, copy)
    save_readable(copy, inside / "saved.handin")
    assert readable_by_others(tmp_path / "new") == []
    save_deck(load_decks()[0][0], inside / "decks" / "one.toml")
    assert stat.S_IMODE((inside / "decks").stat().st_mode) == 0o700


@pytest.mark.usefixtures("loose")
def test_a_waiting_file_elsewhere_is_private(tmp_path: Path, answer: MakeAnswer, state: Path) -> None:
    path = tmp_path / "data" / "practice.sqlite"
    log = open_log(path)
    delete_folder(path)
    with pytest.raises(LogError):
        log.append(answer())
    log.close()
    (kept,) = state.rglob("*waiting*")
    assert readable_by_others(kept.parent) == []


def test_a_pipe_in_the_place_of_any_file_of_the_log_is_not_waited_for(path: Path, answer: MakeAnswer) -> None:
    for name in ("", "-wal", ".rescued", ".waiting-abc", ".aside-1"):
        with open_log(path) as log:
            log.append(answer())
        if not name:
            os.rename(path, path.with_name("kept"))
        os.mkfifo(f"{path}{name}")
        if name == "":
            with pytest.raises(LogError, match="pipe"):
                open_log(path)
            os.rename(path.with_name("kept"), path)
            continue
        try:
            with open_log(path) as log:
                assert ids(log) == named(0)
        except LogError:
            assert name == "-wal"
        copies_of(path)
        Path(f"{path}{name}").unlink(missing_ok=True)


def test_a_log_that_others_could_read_is_made_private(path: Path) -> None:
    open_log(path).close()
    path.chmod(0o644)
    open_log(path).close()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_rescued_log_and_a_copy_before_a_migration_are_private(path: Path, answer: MakeAnswer) -> None:
    with open_log(path) as log:
        log.append(answer())
    data = path.read_bytes()
    path.write_bytes(data[: len(data) - 8192])
    path.chmod(0o600)
    open_log(path).close()
    with closing(sqlite3.connect(path)) as connection:
        from drillapp.records.schema import migrate, version_of

        migrate(connection, path, [lambda _c: None] * (version_of(connection) + 1))
    assert {stat.S_IMODE(one.stat().st_mode) for one in path.parent.iterdir()} == {0o600}


@pytest.mark.parametrize("place", range(12))
def test_damage_anywhere_in_the_journal_is_said(
    path: Path, answer: MakeAnswer, python: Callable[[str], subprocess.Popen[str]], place: int
) -> None:
    python(
        "import os, signal\n"
        "from conftest import make_answer\n"
        "from drillapp.records import open_log\n"
        f"log = open_log({str(path)!r})\n"
        "for number in range(20):\n"
        "    log.append(make_answer(number))\n"
        "os.kill(os.getpid(), signal.SIGKILL)\n"
    ).communicate(timeout=60)
    journal = Path(f"{path}-wal")
    data = bytearray(journal.read_bytes())
    # Within the last frame, whose page is the only one that holds the last answer: its head, its page.
    at = len(data) - 8216 + place * 700 if place else 20
    data[at : at + 4] = bytes(byte ^ 0xFF for byte in data[at : at + 4])
    journal.write_bytes(data)
    with open_log(path) as log:
        there = set(ids(log))
        assert set(named(*range(20))) - there <= {"answer-0019"}
        assert any("journal" in words for words in log.notices)
    assert list(path.parent.glob("*-wal.damaged-*"))
