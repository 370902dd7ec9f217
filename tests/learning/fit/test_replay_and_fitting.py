"""Replaying many logs at once gives Memory's own forecasts; priors come from logs."""

from __future__ import annotations

import math
import random

import pytest

from drillapp.learning import Memory, Prior, fit_prior
from drillapp.learning.fit.fitting import loss
from drillapp.learning.fit.replay import lay_out, replay

DAY = 86400.0
Row = tuple[int, float, tuple[str, ...], bool, float]


def some_rows(seed: int, learners: int = 6, most: int = 60) -> list[Row]:
    rng = random.Random(seed)
    rows: list[Row] = []
    for learner in range(learners):
        now = 0.0
        for _ in range(rng.randint(3, most)):
            now += rng.choice((0.0, 10.0, 60.0, 3000.0, 90000.0, 1e6))
            features = tuple(rng.sample("abcdefg", rng.choice((1, 1, 2, 3))))
            rows.append((learner, now, features, rng.random() < 0.7, rng.choice((0.0, 0.5))))
    return rows


@pytest.mark.parametrize(
    "prior",
    [
        Prior(),
        Prior(
            offsets={"a": 0.5, "b": -1.0},
            gains={"c": 0.3},
            several=-0.2,
            together={frozenset("ab"): 0.4},
            wrong=0.5,
            fade_sd=0.5,
        ),
    ],
)
def test_a_replay_of_many_learners_forecasts_as_each_memory_does(prior: Prior) -> None:
    rows = some_rows(1)
    log = lay_out(rows)
    run = replay(log, [prior, Prior(base=2.0)], keep=True)
    for learner in range(6):
        memory, total = Memory(prior=prior), 0.0
        for _, now, features, correct, guess in sorted(
            [row for row in rows if row[0] == learner], key=lambda row: row[1]
        ):
            chance = memory.predict(features, now, guess)
            total -= math.log(chance if correct else 1 - chance)
            memory.observe(features, correct, now, guess)
        assert run.loss[0, log.learners.index(learner)] == pytest.approx(total, rel=1e-9)


def learners_with_an_easy_and_a_hard_skill(seed: int, learners: int) -> list[Row]:
    rng = random.Random(seed)
    rows: list[Row] = []
    for learner in range(learners):
        level = rng.gauss(0.0, 0.8)
        for number in range(40):
            skill = rng.choice(("easy", "hard"))
            logit = level + (2.0 if skill == "easy" else -1.0) + 0.02 * number
            right = rng.random() < 1 / (1 + math.exp(-logit))
            rows.append((learner, number * 600.0 + (number // 10) * DAY, (skill,), right, 0.0))
    return rows


def test_a_fitted_prior_forecasts_new_learners_better_and_knows_the_hard_skill() -> None:
    fitted = fit_prior([row[:4] for row in learners_with_an_easy_and_a_hard_skill(1, 40)])
    test = lay_out(learners_with_an_easy_and_a_hard_skill(2, 30))
    assert loss(test, fitted) < loss(test, Prior(guess=0.0, slip=0.01)) - 0.02
    fresh = Memory(prior=fitted)
    assert fresh.predict(("easy",), 0.0) > fresh.predict(("hard",), 0.0) + 0.3
    # rows come as they are: what is forecast is the share of right answers, not what is behind guesses
    shares = [row[3] for row in learners_with_an_easy_and_a_hard_skill(1, 40)]
    assert fitted.guess == 0.0
    memory = Memory(prior=fitted)
    memory.observe(("easy",), True, 0.0)
    assert 0.3 < sum(shares) / len(shares) < 0.95


@pytest.mark.parametrize(
    "rows", [[], [(1, 0.0, ("a",), True)], [(1, float(n), ("a",), True) for n in range(40)]]
)
def test_little_evidence_gives_a_sane_prior(rows: list[tuple[int, float, tuple[str, ...], bool]]) -> None:
    memory = Memory(prior=fit_prior(rows))
    assert 0 < memory.predict(("a",), 100.0) < 1


def test_rows_may_come_in_any_order() -> None:
    rows = some_rows(3)
    mixed = list(rows)
    random.Random(1).shuffle(mixed)
    distinct = {(row[0], row[1]) for row in rows}
    rows = [row for row in rows if sum(other[:2] == row[:2] for other in rows) == 1]
    mixed = [row for row in mixed if row in rows]
    assert len(distinct) >= len(rows) > 20
    assert loss(lay_out(rows), Prior()) == pytest.approx(loss(lay_out(mixed), Prior()))


def test_what_conditions_do_for_most_learners_is_fitted() -> None:
    rng = random.Random(6)
    rows = []
    for learner in range(30):
        for number in range(60):
            fast = number % 2 == 0
            right = rng.random() < 1 / (1 + math.exp(-(1.0 - 1.2 * fast)))
            rows.append((learner, number * 60.0, ("tie",), right, 0.0, ("fast",) if fast else ()))
    fitted = fit_prior(rows)
    assert -1.8 < fitted.conditions["fast"] < -0.6
    memory = Memory(prior=fitted)
    assert memory.predict(("tie",), 0.0, 0.0, ("fast",)) < memory.predict(("tie",), 0.0) - 0.1
