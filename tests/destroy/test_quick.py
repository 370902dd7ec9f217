"""The quick part: a few of each way of destroying. Nothing may fall."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from drillapp.records import open_log

from .material import answer, filled, ids
from .tries import ROOT, damages, faults, kills, mutations


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


def test_no_kill_loses_an_answer_that_was_said_to_be_on_disk() -> None:
    for outcome in kills(8):
        assert outcome.fell == [], outcome.what
        assert outcome.tried == 8


def test_no_single_fault_of_the_disk_loses_an_answer_or_goes_unsaid() -> None:
    for outcome in faults():
        assert outcome.fell == [], outcome.what
        assert outcome.tried > 0


def test_changed_inputs_are_taken_or_refused_in_words() -> None:
    for outcome in mutations(150):
        assert outcome.fell == [], outcome.what


def test_damage_costs_what_it_hits_and_is_said() -> None:
    for outcome in damages(25):
        assert outcome.fell == [], outcome.what


@pytest.mark.parametrize(
    "schema", sorted((Path(__file__).parent / "old").glob("*.sqlite")), ids=lambda p: p.stem
)
def test_logs_of_every_schema_so_far_open_with_all_their_answers(schema: Path, tmp_path: Path) -> None:
    path = tmp_path / "practice.sqlite"
    path.write_bytes(schema.read_bytes())
    assert ids(path) == [answer(number).id for number in range(6)]


@pytest.mark.parametrize(
    "schema", sorted((Path(__file__).parent / "old").glob("*.handin")), ids=lambda p: p.stem
)
def test_hand_ins_of_every_schema_so_far_are_collected(schema: Path, tmp_path: Path) -> None:
    with open_log(tmp_path / "teacher.sqlite") as log:
        assert log.collect(schema).new == 6
        assert [one.id for one in log.answers()] == [answer(number).id for number in range(6)]


PRACTICE = """
import sys, tempfile
from pathlib import Path
seen = []
seek = ("socket.connect", "socket.bind")
sys.addaudithook(lambda event, args: seen.append(args) if event in seek else None)
from drillapp.decks.load import load_decks
from drillapp.practice.opening import open_practice
folder = Path(tempfile.mkdtemp())
practice = open_practice(folder, load_decks, lambda: 1.79e9, seed=1)
practice.today()
sitting = practice.start()
task = sitting.next()
sitting.answer(task, None, 2.0)
practice.progress()
practice.log.hand_in(folder / "out")
practice.log.close()
import shutil; shutil.rmtree(folder)
print("sockets", len(seen))
"""


def test_practising_opens_no_socket() -> None:
    done = subprocess.run(
        [sys.executable, "-c", PRACTICE], cwd=ROOT, capture_output=True, text=True, timeout=120, check=False
    )
    assert done.stdout.split()[-2:] == ["sockets", "0"], done.stderr[-500:]


def test_the_fixtures_hold_what_they_say(tmp_path: Path) -> None:
    filled(tmp_path / "practice.sqlite", range(6))
    assert ids(tmp_path / "practice.sqlite") == [answer(number).id for number in range(6)]
