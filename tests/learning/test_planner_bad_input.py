"""Plans stay sane whatever the log holds."""

from __future__ import annotations

import math
import random
from collections.abc import Iterable

import pytest

from drillapp.learning import Memory, Planner

DAY = 86400.0
SIGNS = ("beat", "offbeat", "skip", "tie", "rest", "mute")
Answer = tuple[float, tuple[str, ...], tuple[bool, ...]]


def planned(answers: Iterable[Answer], now: float) -> Planner:
    planner = Planner(SIGNS, seed=1)
    for at, features, bits in answers:
        planner.record(at, features, bits)
    asked = planner.next(now)
    assert asked
    assert set(asked) <= set(planner.features)
    for features, why in planner.plan(now, 30):
        assert set(features) <= set(planner.features)
        assert why in ("repair", "refresh", "reach", "fresh")
    for feature in planner.features:
        belief = planner.memory.belief(feature, now)
        assert 0 < belief.mean < 1
        assert math.isfinite(belief.spread)
    return planner


@pytest.mark.parametrize(
    "answers",
    [
        [],
        [(0.0, ("tie",), (True,))],
        [(float(n), SIGNS, (True,) * 6) for n in range(200)],
        [(float(n), SIGNS, (False,) * 6) for n in range(200)],
        [(5.0, ("tie", "rest"), (True, False))] * 50,
        [(1000.0 - n, ("tie", "rest"), (n % 2 == 0, True)) for n in range(100)],
        [(1e9, ("tie",), (True,)), (5.0, ("rest",), (True,)), (10.0, ("rest",), (False,))],
        [(float(n), ("swing", "tie"), (True, False)) for n in range(20)],
    ],
    ids=("empty", "one", "all right", "all wrong", "same instant", "disorder", "clock set back", "new sign"),
)
def test_odd_histories_give_sane_plans(answers: list[Answer]) -> None:
    planned(answers, 2000.0)
    planned(answers, 400 * DAY)


def test_ten_years_of_log_give_a_sane_plan_that_favours_the_weak_sign() -> None:
    rng = random.Random(2)
    answers = [
        (day * DAY + turn * 20.0, (sign,), (sign != "tie" or rng.random() < 0.6,))
        for day in range(0, 3650, 3)
        for turn, sign in enumerate(SIGNS)
    ]
    planner = planned(answers, 3651 * DAY)
    asked = [feature for features, _ in planner.plan(3651 * DAY, 40) for feature in features]
    assert max(set(asked), key=asked.count) == "tie"


def test_a_removed_sign_leaves_its_memory_and_no_question() -> None:
    memory = Memory(("beat", "clap"))
    for turn in range(30):
        memory.observe(("clap",), False, turn * 60.0)
    planner = Planner(("beat", "tie"), memory=memory)
    assert all("clap" not in features for features, _ in planner.plan(3000.0, 20))


def test_a_single_sign_is_asked_again_and_again() -> None:
    planner = Planner(("beat",))
    for turn in range(10):
        assert planner.next(turn * 20.0) == ("beat",)
        planner.record(turn * 20.0, ("beat",), (True,))


def test_a_memory_of_a_hundred_signs_plans_alike_when_rebuilt() -> None:
    signs = tuple(f"sign {number}" for number in range(100))
    rng = random.Random(3)
    answers = [(number * 30.0, (rng.choice(signs),), (rng.random() < 0.8,)) for number in range(3000)]
    plans = []
    for _ in range(2):
        planner = Planner(signs, seed=4)
        for at, features, bits in answers:
            planner.memory.observe(features, bits[0], at)
        plans.append(planner.plan(100000.0, 20))
    assert plans[0] == plans[1]
