"""The commands that a newcomer is given: the README has them, and what they do is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
DOOR = ROOT / ".ci"


@pytest.mark.parametrize(("heading", "command"), [("Run it", "start"), ("Test it", "test")])
def test_the_readme_begins_each_part_with_one_command(heading: str, command: str) -> None:
    part = (ROOT / "README.md").read_text(encoding="utf-8").split(f"## {heading}\n")[1]
    first = re.search(r"^    (.*)$", part, re.MULTILINE)
    assert first is not None and first[1] == f"bash .ci/{command}"
    assert (DOOR / command).is_file()


def test_the_tests_command_asks_for_all_of_them() -> None:
    assert "export DRILLAPP_TESTS_ALL=1\n" in (DOOR / "test").read_text(encoding="utf-8")
