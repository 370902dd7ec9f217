"""Simulated learners and the policies compared on them."""

from __future__ import annotations

import random

import pytest

from drillapp.learning.simulation.learners import FAMILIES, Learner
from drillapp.learning.simulation.policies import Boxes, spread
from drillapp.learning.simulation.simulate import Line, Setting, compare, outcomes, summary, table

DAY = 86400.0
SIGNS = tuple(f"sign {number + 1}" for number in range(12))


@pytest.mark.parametrize("family", FAMILIES)
def test_every_family_learns_by_practice_and_forgets_without(family: type[Learner]) -> None:
    learner = family(SIGNS, random.Random(2))
    sign = next(sign for sign in SIGNS if sign not in learner.weak)
    for day in range(10):
        for turn in range(4):
            learner.practise(sign, day * DAY + turn * 60.0, 1.0)
    soon = learner.chance(sign, 9 * DAY + 600.0)
    assert learner.chance(sign, 60 * DAY) < soon
    untouched = family(SIGNS, random.Random(2))
    assert untouched.chance(sign, 9 * DAY + 600.0) < soon


@pytest.mark.parametrize("family", FAMILIES)
def test_looking_ahead_leaves_a_learner_as_it_was(family: type[Learner]) -> None:
    learner = family(SIGNS, random.Random(3))
    before = [learner.chance(sign, 5 * DAY) for sign in SIGNS]
    for sign in SIGNS:
        state = learner.state(sign)
        learner.practise(sign, DAY, 0.7)
        learner.restore(sign, state)
    assert [learner.chance(sign, 5 * DAY) for sign in SIGNS] == before


@pytest.mark.parametrize("family", FAMILIES)
def test_weak_signs_are_read_worst_after_even_practice(family: type[Learner]) -> None:
    learner = family(SIGNS, random.Random(4))
    for day in range(15):
        for sign in SIGNS:
            learner.practise(sign, day * DAY, 1.0)
    weak = max(learner.chance(sign, 16 * DAY) for sign in learner.weak)
    assert weak < min(learner.chance(sign, 16 * DAY) for sign in SIGNS if sign not in learner.weak)


def test_boxes_come_back_after_doubling_days() -> None:
    # Leitner 1972
    boxes = Boxes(("tie",), seed=0)
    days = []
    for day in range(16):
        if boxes._due["tie"] <= day * DAY:
            days.append(day)
            boxes.record(day * DAY, ("tie",), (True,))
    assert days == [0, 1, 3, 7, 15]


def test_doses_go_where_the_next_one_gains_most() -> None:
    curves = {"steep": [0.2, 0.5, 0.6], "flat": [0.8, 0.85, 0.9], "late": [0.1, 0.1, 0.9]}
    assert spread(curves, [0, 10, 20], 20) == {"steep": 0, "flat": 0, "late": 20}
    assert spread(curves, [0, 10, 20], 30) == {"steep": 10, "flat": 0, "late": 20}


def test_the_planner_leaves_learners_better_than_even_practice_does() -> None:
    results = compare(8, Setting(days=20), ("uniform", "planner"), workers=1)
    means = {line.policy: line for line in summary(results) if line.family == "all"}
    assert means["planner"].mean > means["uniform"].mean
    assert means["planner"].lowest > means["uniform"].lowest + 0.05


def test_the_same_seed_gives_the_same_outcomes() -> None:
    setting = Setting(days=4)
    names = ("uniform", "round robin", "boxes", "weakest", "missing", "planner", "oracle")
    assert outcomes(0, 5, setting, names) == outcomes(0, 5, setting, names)


def test_the_table_has_one_line_for_each_policy_under_its_heads() -> None:
    lines = [Line("traces", "uniform", 0.8234, 0.3061, 0.0), Line("all", "planner", 0.862, 0.574, 0.726)]
    head, *rows = table(lines).splitlines()
    assert head.split() == ["family", "policy", "mean", "lowest", "gap", "closed"]
    assert [row.split() for row in rows] == [
        ["traces", "uniform", "0.823", "0.306", "0%"],
        ["all", "planner", "0.862", "0.574", "73%"],
    ]
    assert len({len(line) for line in (head, *rows)}) == 1
