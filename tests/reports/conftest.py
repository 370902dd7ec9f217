"""A desk with the invented class, made once for all tests of reports."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from importlib import util
from pathlib import Path

import pytest

from drillapp.desk.desk import TeachersDesk
from drillapp.desk.invented import fill
from drillapp.records import Entry, open_log

NOW = 1_790_000_000.0


@pytest.fixture(scope="session")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TeachersDesk]:
    folder: Path = tmp_path_factory.mktemp("desk")
    with open_log(folder / "practice.sqlite") as log:
        fill(log, folder, NOW)
        yield TeachersDesk(log, folder, lambda: NOW)


@pytest.fixture(scope="session")
def planted() -> Callable[..., list[Entry]]:
    """A student's month of answers; see tests/desk/students.py."""
    path = Path(__file__).resolve().parents[1] / "desk" / "students.py"
    spec = util.spec_from_file_location("report_students", path)
    assert spec is not None and spec.loader is not None
    students = util.module_from_spec(spec)
    spec.loader.exec_module(students)
    return students.planted  # type: ignore[no-any-return]
