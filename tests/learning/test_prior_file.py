"""A prior written and read again is the same to the last bit; a damaged one is refused in words."""

from __future__ import annotations

import json
import random

import pytest

from drillapp.learning import Prior
from drillapp.learning.prior_file import read_prior, write_prior
from drillapp.learning.readout import CELLS, SLOPES, Readout


def a_prior() -> Prior:
    rng = random.Random(3)
    return Prior(
        base=1 / 3,
        offsets={"tie": 0.1 + 0.2, "rest": -1e-17},
        gains={"tie": 0.5},
        together={frozenset(("tie", "rest")): 0.7},
        conditions={"met before": 0.2},
        readout=Readout(
            tuple(rng.gauss(0, 1) for _ in range(CELLS)),
            tuple(rng.gauss(0, 1) for _ in range(SLOPES)),
            {"tie": 0.1, frozenset(("tie", "rest")): 0.2},
            {(None, "tie"): 0.3, ("tie", frozenset(("tie", "rest"))): -0.3},
        ),
    )


@pytest.mark.parametrize("prior", [Prior(), a_prior()])
def test_a_prior_comes_back_to_the_last_bit(prior: Prior) -> None:
    assert read_prior(write_prior(prior)) == prior


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"format": "x"}, "format"),
        ({"base": "1"}, "base"),
        ({"base": True}, "base"),
        ({"base": 1e300}, "out of bounds"),
        ({"form_scale": 1e13}, "out of bounds"),
        ({"base": None}, "not a number"),
        ({"conditions": {"fast": "0"}}, "conditions"),
        ({"together": [3]}, "must be a list of 2"),
        ({"together": [["tie", 1.0, 2.0]]}, "must be a list of 2"),
        ({"together": {}}, "must be a list"),
        ({"weights": 1.0}, "must be a list of numbers"),
        ({"speed": 1.0}, "no speed"),
        ({"rates": [0.1]}, "as many as the stores"),
        ({"weak_share": 2.0}, "weak_share"),
        ({"offsets": [1]}, "offsets"),
        ({"together": [["tie", 1.0]]}, "together"),
        ({"readout": {"cells": []}}, "readout"),
        ({"readout": {"cells": [], "slopes": [], "sets": [], "pairs": []}}, "cells"),
        ({"level_sd": -1.0}, "level_sd"),
    ],
)
def test_a_damaged_prior_is_refused(change: dict[str, object], fault: str) -> None:
    data = {**json.loads(write_prior(a_prior())), **change}
    with pytest.raises(ValueError, match=fault):
        read_prior(json.dumps(data))


@pytest.mark.parametrize(
    "text", ["", "[]", "{", "[" * 100_000, '{"format": "drillapp prior 1", "base": NaN}']
)
def test_what_is_no_prior_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"prior|JSON|number"):
        read_prior(text)


def test_a_time_may_be_far_longer_than_an_effect_is_large() -> None:
    # A decade in seconds (arithmetic: 3650 days of 86,400 s); no effect in logits comes near such a number.
    prior = Prior(form_scale=3650 * 86400.0)
    assert read_prior(write_prior(prior)) == prior
