"""The commands that a newcomer is given: the README has them, and no skipped test passes for one that ran."""

from __future__ import annotations

import os
import re
import subprocess
import sys
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


def run_pytest(folder: Path, test: str) -> subprocess.CompletedProcess[str]:
    (folder / "test_it.py").write_text(test)
    return subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "nothing_skipped", "-p", "no:cacheprovider", "-rfEs"],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(DOOR)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_run_of_all_tests_passes(tmp_path: Path) -> None:
    assert run_pytest(tmp_path, "def test_it(): pass\n").returncode == 0


@pytest.mark.parametrize(
    "skips",
    ["def test_one(): pytest.skip('no ears')", "pytest.skip('no ears', allow_module_level=True)"],
    ids=["test", "module"],
)
def test_a_skipped_test_fails_the_run_and_says_why(tmp_path: Path, skips: str) -> None:
    (tmp_path / "test_whole.py").write_text("def test_it(): pass\n")
    done = run_pytest(tmp_path, f"import pytest\n{skips}\n")
    assert done.returncode == 1
    assert "no ears" in done.stdout and "1 skipped; here every test has to run" in done.stdout


def test_a_failed_test_still_fails_the_run(tmp_path: Path) -> None:
    assert run_pytest(tmp_path, "def test_it(): assert False\n").returncode == 1
