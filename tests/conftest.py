"""What the tests share: published tables, strategies for patterns, one fixture deck and learner."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

REFERENCE = Path(__file__).parent / "reference"


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Where tests run side by side, those with a window or a sound device keep to one process, in turn.

    They mostly wait for real time to pass; meanwhile the other process works through the rest. Tests of one
    file stay together, so that what a file prepares is prepared once.
    """
    if not config.pluginmanager.hasplugin("xdist"):
        return
    for item in items:
        path = item.path.relative_to(config.rootpath).as_posix()
        real_time = path.startswith("tests/screens/") or path == "tests/sound/test_null_sink.py"
        item.add_marker(pytest.mark.xdist_group("window and sound" if real_time else path))


@pytest.fixture(scope="session")
def table() -> Callable[[str], list[dict[str, str]]]:
    """Reads a published table of tests/reference; its source stands at its head."""

    def read(name: str) -> list[dict[str, str]]:
        lines = (REFERENCE / name).read_text(encoding="utf-8").splitlines()
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))

    return read
