"""Planted students, made in one place."""

from __future__ import annotations

import sys
from collections.abc import Callable
from importlib import util
from pathlib import Path

import pytest

from drillapp.records import Entry

_spec = util.spec_from_file_location("desk_students", Path(__file__).with_name("students.py"))
assert _spec is not None and _spec.loader is not None
students = util.module_from_spec(_spec)
sys.modules["desk_students"] = students
_spec.loader.exec_module(students)


@pytest.fixture(scope="session")
def planted() -> Callable[..., list[Entry]]:
    """A student's month of answers; see students.py."""
    return students.planted  # type: ignore[no-any-return]
