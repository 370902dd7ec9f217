"""`drillapp check`: every fault at its place, warnings beside them, and never Kivy."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest

from drillapp.__main__ import main
from drillapp.files.resources import shipped

GOOD = 'title = "Good"\n[[pattern]]\ntitle = "Steps"\ntext = "D D D D"\n'


def test_shipped_decks_have_no_fault_and_no_warning(capsys):
    decks = sorted(map(str, shipped("decks").glob("*.toml")))
    assert main(["check", *decks]) == 0
    assert capsys.readouterr().out == ""


def test_every_fault_of_every_file_is_named(drillapp, tmp_path):
    (tmp_path / "a.toml").write_text('title = 1\n[[pattern]]\ntitle = "P"\ntext = "D D D"\n')
    (tmp_path / "b.toml").write_text(GOOD)
    (tmp_path / "c.toml").write_bytes(b'title = "\xff"')
    (tmp_path / "d.toml").mkdir()
    done = drillapp("check", "a.toml", "b.toml", "c.toml", "d.toml", "gone.toml")
    assert done.returncode == 1
    places = [re.match(r"([\w.]+):(\d+):(\d+): .+", line) for line in done.stdout.splitlines()]
    assert [place and place.groups() for place in places] == [
        ("a.toml", "1", "9"),
        ("a.toml", "4", "14"),
        ("c.toml", "1", "10"),
        ("d.toml", "1", "1"),
        ("gone.toml", "1", "1"),
    ]
    assert "1 of 5 decks can be used" in done.stderr


def test_warnings_are_told_and_are_no_failure(drillapp, tmp_path):
    twice = GOOD + '[[pattern]]\ntitle = "Again"\ntext = "D D D D | D D D D"\n'
    (tmp_path / "a.toml").write_text(twice)
    done = drillapp("check", "a.toml")
    assert done.returncode == 0
    assert done.stdout.startswith("a.toml:5:1: warning: Again: ")


def test_the_same_pattern_in_two_decks_is_warned_of(drillapp, tmp_path):
    (tmp_path / "a.toml").write_text(GOOD)
    (tmp_path / "b.toml").write_text(GOOD.replace("Good", "Better"))
    done = drillapp("check", "a.toml", "b.toml")
    assert done.returncode == 0
    assert "b.toml:2:1: warning: Steps: 'Steps' in line 2 of a.toml" in done.stdout


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("long.toml", b'title = "' + b"x" * 1_000_000 + b'"', "at most 1,000,000"),
        ("many.toml", b'title="M"\n' + b'[[pattern]]\ntitle="a"\ntext="D"\n' * 100_000, "1,000,000"),
        ("null.toml", b"\0\0\0", "null.toml:1:1"),
        ("empty.toml", b"", "no title"),
    ],
)
def test_files_out_of_all_bounds_are_refused_in_words(drillapp, tmp_path, name, data, words):
    (tmp_path / name).write_bytes(data)
    done = drillapp("check", name)
    assert done.returncode == 1
    assert words in done.stdout


def test_checking_never_loads_kivy_or_numpy(tmp_path):
    (tmp_path / "a.toml").write_text(GOOD)
    code = (
        "import sys; from drillapp.__main__ import main; main(['check', sys.argv[1]]);"
        "heavy = {'kivy', 'numpy', 'drillapp.sound'}; print(sorted(heavy & {*sys.modules}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "a.toml")], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip().endswith("[]")
