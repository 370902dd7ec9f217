"""The quick part: a few of each way of destroying. Nothing may fall."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain
from pathlib import Path

import pytest

from .damage import damages, edited_rows
from .disk import faults_in_python, faults_of_all, full_filesystems
from .inputs import FOUND, INPUTS, mutations, tried
from .kills import kills
from .outcome import Outcome, folder
from .power import power_cuts

CASES = sorted(FOUND.glob("*/*"))


def nothing_falls(outcomes: Iterable[Outcome]) -> None:
    for outcome in outcomes:
        assert outcome.fell == [], outcome.what
        assert outcome.tried or outcome.note, outcome.what


def test_no_kill_loses_an_answer_that_was_said_to_be_on_disk() -> None:
    nothing_falls(kills(1))


def test_no_single_fault_of_the_disk_loses_an_answer_or_goes_unsaid() -> None:
    nothing_falls(chain(faults_in_python(10), faults_of_all(0.02), full_filesystems(1)))


def test_no_power_cut_loses_an_answer_that_was_said_to_be_on_disk() -> None:
    nothing_falls(power_cuts(4))


def test_changed_inputs_are_taken_or_refused_in_words() -> None:
    nothing_falls(mutations(1000))


def test_damage_costs_what_it_hits_and_is_said() -> None:
    nothing_falls(chain(damages(20), edited_rows(8)))


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.parent.name}-{case.name}")
def test_what_fell_once_falls_no_more(case: Path) -> None:
    kind = next(one for one in INPUTS if one.name.replace(" ", "-") == case.parent.name)
    outcome = Outcome(kind.name)
    with folder() as place:
        (place / "teacher").mkdir()
        tried(kind, iter([case.read_bytes()]), place, outcome)
    assert outcome.fell == []
