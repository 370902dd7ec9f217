"""The command line as a whole: help, wrong use, the app's own options."""

from __future__ import annotations

from pathlib import Path

import pytest

from drillapp import __version__
from drillapp.__main__ import main
from drillapp.verbs import VERBS

ROOT = Path(__file__).resolve().parents[2]


def test_the_version_is_told(drillapp):
    done = drillapp("--version")
    assert (done.returncode, done.stdout.strip()) == (0, f"drillapp {__version__}")


@pytest.mark.parametrize("verb", VERBS, ids=lambda verb: verb.NAME)
def test_help_of_a_verb_has_an_example(verb, capsys):
    assert main([verb.NAME, "--help"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert f"example: {verb.EXAMPLE}" in told
    assert verb.EXAMPLE.startswith(f"drillapp {verb.NAME}")


def test_help_names_every_verb(capsys):
    assert main(["--help"]) == 0
    told = capsys.readouterr().out
    assert all(verb.SUMMARY in " ".join(told.split()) for verb in VERBS)


@pytest.mark.parametrize(
    "arguments",
    [["--unknown"], ["fly"], ["check"], ["check", "--unknown", "x.toml"], ["sound", "D"], ["--dat", "x"]],
)
def test_wrong_use_gives_the_usage_and_2(arguments, capsys):
    assert main(arguments) == 2
    assert capsys.readouterr().err.startswith("usage: drillapp")


def test_a_decks_folder_that_is_not_there_is_named(tmp_path, capsys):
    assert main(["--decks", str(tmp_path / "gone")]) == 1
    assert "is not a folder" in capsys.readouterr().err


def test_a_window_size_that_is_none_is_wrong_use(monkeypatch, capsys):
    monkeypatch.setenv("DRILLAPP_WINDOW", "large")
    assert main([]) == 2
    assert "1280x800" in capsys.readouterr().err


@pytest.mark.parametrize("version", ["2.7", "3.9", "3.14"])
def test_another_python_is_told_which_one_is_needed(version):
    import subprocess
    import sys

    major, minor = version.split(".")
    pretend = f"sys.version_info = ({major}, {minor}, 0, 'final', 0)"
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            f"import sys, runpy; {pretend}; runpy.run_module('drillapp', run_name='__main__')",
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (1, "", 1), done.stderr
    assert f"Python 3.10 to 3.13 is needed, and this is {version}" in done.stderr


def test_old_pythons_can_read_the_file_that_tells_them():
    import ast

    # The oldest grammar that Python's ast module still knows; newer syntax raises SyntaxError.
    ast.parse((ROOT / "drillapp" / "__init__.py").read_text(encoding="utf-8"), feature_version=(3, 4))


def test_a_closed_pipe_is_no_fault(drillapp, tmp_path):
    import os
    import subprocess
    import sys

    from drillapp.files.resources import shipped

    reading, writing = os.pipe()
    os.close(reading)
    decks = [str(path) for path in shipped("decks").glob("*.toml")]
    done = subprocess.run(
        [sys.executable, "-m", "drillapp", "check", *decks, *(["gone.toml"] * 50)],
        stdout=writing,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )
    os.close(writing)
    assert "Traceback" not in done.stderr
