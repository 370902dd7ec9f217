"""One fixture learner and her answers, made in one place; and ways to be another process or another user."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from drillapp.records import Answer, FactorAnswer, PracticeLog, open_log

NOON = 1_750_000_000.0
"""An instant in June 2025, UTC."""


def make_answer(number: int = 0, **changes: Any) -> Answer:
    """The answer number n of Ana's session: a tie on 3 read as a stroke."""
    values: dict[str, Any] = {
        "id": f"answer-{number:04}",
        "learner": "ana",
        "session": "session-1",
        "utc": NOON + 10.0 * number,
        "offset": 120,
        "drill": "page to sound",
        "pattern": "D- DU -U DU",
        "meter": "4/4",
        "tempo": 90,
        "swing": "2",
        "layers": ("letters", "staff"),
        "candidates": ("D- DU -U DU", "D- DU DU DU"),
        "pick": 1,
        "written": 0,
        "factors": (FactorAnswer("2", ("tie", "skip"), "tied on", "struck", False, 0.5, True),),
        "seconds": 4.25,
        "heard": (2, 1),
        "first_seen": number % 2 == 0,
        "why": "repair",
        "asked": ("tie",),
        "version": "0.1.0",
        "extra": {},
    }
    return Answer(**{**values, **changes})


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "practice.sqlite"


@pytest.fixture
def log(path: Path) -> Iterator[PracticeLog]:
    with open_log(path) as log:
        yield log


@pytest.fixture(scope="session")
def answer() -> Callable[..., Answer]:
    return make_answer


@pytest.fixture
def python() -> Iterator[Callable[[str], subprocess.Popen[str]]]:
    """Start a Python program in another process, with pipes to talk to it."""
    started: list[subprocess.Popen[str]] = []

    def start(program: str) -> subprocess.Popen[str]:
        root = Path(__file__).resolve().parents[2]
        environment = {**os.environ, "PYTHONPATH": f"{root}{os.pathsep}{Path(__file__).parent}"}
        child = subprocess.Popen(
            [sys.executable, "-c", program],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env=environment,
        )
        started.append(child)
        return child

    yield start
    for child in started:
        if child.poll() is None:
            child.kill()
        child.communicate()


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user can reach; pytest's own are its user's alone."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


@pytest.fixture
def without_rights() -> Callable[[Callable[[], str]], str]:
    """Gives what some work says in a process of a user without rights; root, who may all, becomes another."""
    return _without_rights


def _without_rights(work: Callable[[], str]) -> str:
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            if os.getuid() == 0:
                os.setgroups([])
                os.setgid(65534)
                os.setuid(65534)
            words = work()
        except BaseException as error:
            words = f"{type(error).__name__}: {error}"
        os.write(writer, words.encode())
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader) as pipe:
        words = pipe.read()
    os.waitpid(child, 0)
    return words


@pytest.fixture
def read_only() -> Callable[[Path], None]:
    return _read_only


def _read_only(path: Path) -> None:
    path.chmod(path.stat().st_mode & ~(stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH))
