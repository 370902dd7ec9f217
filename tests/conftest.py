"""What the tests share: published tables, strategies for patterns, one fixture deck and learner."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

REFERENCE = Path(__file__).parent / "reference"


@pytest.fixture(scope="session")
def table() -> Callable[[str], list[dict[str, str]]]:
    """Reads a published table of tests/reference; its source stands at its head."""

    def read(name: str) -> list[dict[str, str]]:
        lines = (REFERENCE / name).read_text(encoding="utf-8").splitlines()
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))

    return read
