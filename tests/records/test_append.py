"""An answer is on disk when append returns, and stays as it is."""

from __future__ import annotations

import signal
import sqlite3
import subprocess
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from drillapp.records import Answer, LogError, PracticeLog, open_log


def test_an_answer_comes_back_as_it_was(log: PracticeLog, answer: Callable[..., Answer]) -> None:
    given = answer(extra={"hits": [[0.01, "down", False, 0.8]], "name": "Zoë"}, tempo=92.5, pick=None)
    log.append(given)
    assert log.answers("ana") == (given,)
    assert log.answers() == (given,)
    assert log.answers("bo") == ()


def test_a_killed_process_loses_no_answer(path: Path, python: Callable[[str], subprocess.Popen[str]]) -> None:
    child = python(
        "import os, signal\n"
        "from conftest import make_answer\n"
        "from drillapp.records import open_log\n"
        f"log = open_log({str(path)!r})\n"
        "for number in range(25):\n"
        "    log.append(make_answer(number))\n"
        "    print(number, flush=True)\n"
        "os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    shown = child.communicate(timeout=60)[0].split()
    assert child.returncode == -signal.SIGKILL
    assert len(shown) == 25
    with open_log(path) as log:
        assert [one.id for one in log.answers("ana")] == [f"answer-{number:04}" for number in range(25)]
        assert log.notices == ()


def test_a_process_killed_at_any_moment_loses_no_answer_that_was_acknowledged(
    path: Path, python: Callable[[str], subprocess.Popen[str]]
) -> None:
    child = python(
        "from conftest import make_answer\n"
        "from drillapp.records import open_log\n"
        f"log = open_log({str(path)!r})\n"
        "for number in range(100_000):\n"
        "    log.append(make_answer(number))\n"
        "    print(number, flush=True)\n"
    )
    assert child.stdout is not None
    for line in child.stdout:
        if int(line) >= 40:
            child.kill()
            break
    shown = 41 + len(child.stdout.read().split())
    with open_log(path) as log:
        answers = log.answers("ana")
        assert len(answers) in (shown, shown + 1)
        assert log.notices == ()


def test_the_file_is_flushed_by_sqlites_own_account(log: PracticeLog) -> None:
    # FULL is 2: https://www.sqlite.org/pragma.html#pragma_synchronous
    with log._store.reading() as connection:
        assert connection.execute("PRAGMA synchronous").fetchone() == (2,)
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE answers SET text = ''",
        "UPDATE answers SET entry = 9",
        "DELETE FROM answers",
        "INSERT OR REPLACE INTO answers SELECT * FROM answers",
        "REPLACE INTO answers (entry, id, device, number, learner, session, utc, 'offset', text) "
        "SELECT entry, 'other', device, number, learner, session, utc, 0, '' FROM answers",
        "INSERT INTO answers SELECT * FROM answers WHERE true ON CONFLICT DO UPDATE SET text = ''",
    ],
)
def test_no_other_program_changes_an_answer_by_mistake(
    path: Path, answer: Callable[..., Answer], statement: str
) -> None:
    with open_log(path) as log:
        log.append(answer())
    other = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        other.execute(statement)
    other.close()
    with open_log(path) as log:
        assert log.answers() == (answer(),)


def test_the_same_answer_twice_is_one(log: PracticeLog, answer: Callable[..., Answer]) -> None:
    log.append(answer())
    log.append(answer())
    assert log.count() == 1


def test_another_answer_with_the_same_id_is_refused(log: PracticeLog, answer: Callable[..., Answer]) -> None:
    log.append(answer())
    with pytest.raises(ValueError, match="another answer with the id answer-0000"):
        log.append(answer(seconds=9.0))
    assert log.answers() == (answer(),)
    assert log.unsaved == ()
    log.append(answer(1))
    assert log.count() == 2


def test_an_answer_that_is_too_long_to_read_again_is_refused(
    log: PracticeLog, answer: Callable[..., Answer]
) -> None:
    with pytest.raises(ValueError, match="at most"):
        log.append(answer(candidates=("D" * 8000,) * 40))
    assert log.unsaved == ()


def test_threads_may_append_while_another_reads(log: PracticeLog, answer: Callable[..., Answer]) -> None:
    seen: list[int] = []

    def read() -> None:
        for _ in range(5):
            seen.append(len(log.observations("ana")))

    def write(first: int) -> None:
        for number in range(first, first + 20):
            log.append(answer(number))

    workers = [threading.Thread(target=write, args=(first,)) for first in (0, 20)] + [
        threading.Thread(target=read)
    ]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert log.count() == 40
    assert len(seen) == 5
    assert seen == sorted(seen)
    with log._store.reading() as connection:
        numbers = [number for (number,) in connection.execute("SELECT number FROM answers ORDER BY entry")]
    assert numbers == list(range(1, 41))


def test_a_closed_log_says_so(path: Path, answer: Callable[..., Answer]) -> None:
    log = open_log(path)
    log.close()
    log.close()
    with pytest.raises(LogError, match="closed"):
        log.answers()


def test_the_log_makes_its_folder(tmp_path: Path) -> None:
    open_log(tmp_path / "new" / "folder" / "log").close()
    assert (tmp_path / "new" / "folder" / "log").is_file()


def test_a_folder_in_the_logs_place_is_named(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="is a folder"):
        open_log(tmp_path)
