"""The suite's own rules: what the machine lacks is skipped and said; files stay in one process."""

from __future__ import annotations

import importlib
import os
import subprocess
import sys
from pathlib import Path

import pytest

pytest_plugins = "pytester"

CONFTEST = Path(__file__).with_name("conftest.py")
SIDE_BY_SIDE = ("-n", "2")


@pytest.fixture
def suite(pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch) -> pytest.Pytester:
    """A folder for tests under the suite's rules, on a machine without any program."""
    monkeypatch.setenv("PATH", "")
    monkeypatch.delenv("DRILLAPP_TESTS_ALL", raising=False)
    pytester.makeconftest(CONFTEST.read_text(encoding="utf-8"))
    pytester.makepyfile(
        test_that_runs="def test_sound(): pass",
        test_window="def test_of_a_window(needs): needs('Xvfb')",
        test_elsewhere="import pytest\npytest.skip('another machine', allow_module_level=True)",
    )
    return pytester


def test_what_the_machine_lacks_is_skipped_with_the_package_that_brings_it(suite: pytest.Pytester) -> None:
    result = suite.runpytest_subprocess("-rs")
    result.assert_outcomes(passed=1, skipped=2)
    result.stdout.fnmatch_lines("SKIPPED*needs Xvfb (Debian's xvfb)")
    assert result.ret == pytest.ExitCode.OK


@pytest.mark.parametrize("processes", [(), SIDE_BY_SIDE], ids=["one process", "two processes"])
def test_where_all_are_asked_for_skipped_tests_are_named_and_fail_the_run(
    suite: pytest.Pytester, monkeypatch: pytest.MonkeyPatch, processes: tuple[str, ...]
) -> None:
    monkeypatch.setenv("DRILLAPP_TESTS_ALL", "1")
    result = suite.runpytest_subprocess("-rfEs", *processes)
    assert result.ret == pytest.ExitCode.TESTS_FAILED
    result.stdout.fnmatch_lines_random(
        [
            "SKIPPED*needs Xvfb (Debian's xvfb)",
            "SKIPPED*test_elsewhere.py*another machine",
            "FAILED: 2 skipped; here every test has to run",
        ]
    )


def test_what_would_load_numba_fails_at_once() -> None:
    with pytest.raises(ImportError, match="numba"):
        importlib.import_module("numba")


def test_the_tests_of_one_file_stay_in_one_process(
    suite: pytest.Pytester, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DRILLAPP_TESTS_ALL", "1")
    told = suite.path / "told"
    told.mkdir()
    source = f"""
import os, pathlib, pytest

@pytest.mark.parametrize("number", range(6))
def test_where(number):
    told = pathlib.Path({str(told)!r}) / f"{{pathlib.Path(__file__).stem}}-{{number}}"
    told.write_text(os.environ["PYTEST_XDIST_WORKER"])
"""
    files = [f"test_{letter}" for letter in "abcd"]
    suite.makepyfile(**dict.fromkeys(files, source))
    result = suite.runpytest_subprocess(*SIDE_BY_SIDE, *(f"{file}.py" for file in files))
    result.assert_outcomes(passed=24)
    assert result.ret == pytest.ExitCode.OK, "all were asked for, and all ran"
    for file in files:
        assert len({path.read_text() for path in told.glob(f"{file}-*")}) == 1


def test_without_the_programs_tests_of_windows_and_sound_are_skipped_and_none_fails(tmp_path: Path) -> None:
    tests = (
        "screens/test_session.py",
        "screens/test_start.py",
        "sound/test_null_sink.py",
        "notation/test_svg.py",
        "notation/test_kivy_painting.py",
    )
    done = subprocess.run(
        [
            *(sys.executable, "-m", "pytest", "-rfEs", "-p", "no:cacheprovider"),
            f"--basetemp={tmp_path / 'run'}",
            *(f"tests/{one}" for one in tests),
        ],
        cwd=CONFTEST.parents[1],
        env={**os.environ, "DISPLAY": "", "DRILLAPP_TESTS_ALL": "", "PATH": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout
    for program in ("Xvfb", "xdotool", "pulseaudio", "pactl", "parec", "rsvg-convert", "xvfb-run", "xauth"):
        assert f"{program} (Debian's " in done.stdout
