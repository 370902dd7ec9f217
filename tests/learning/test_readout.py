"""What logs of many learners add to the filter: forecasts of new learners' answers to several skills."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillapp.learning import Memory, Prior, calibration, fit_prior
from drillapp.learning.fit import fitting
from drillapp.learning.readout import CELLS, PAUSES, SLOPES, Readout

DAY = 86400.0
Row = tuple[int, float, tuple[str, ...], bool]


def some_readout(seed: int) -> Readout:
    rng = random.Random(seed)
    return Readout(
        tuple(rng.gauss(0, 0.3) for _ in range(CELLS)),
        (0.9, *(rng.gauss(0, 0.2) for _ in range(SLOPES - 1))),
        {"a": 0.3, frozenset("ab"): -0.4},
        {(None, "a"): 0.2, ("a", frozenset("ab")): 0.5},
    )


def test_a_readout_without_effects_is_the_filters_own_forecast() -> None:
    plain, read = Memory(), Memory(prior=Prior(readout=Readout()))
    for index in range(30):
        for memory in (plain, read):
            memory.observe(("a", "b")[: 1 + index % 2], index % 3 > 0, index * 500.0)
        for guess in (0.0, 0.5):
            now = index * 500.0 + 77.0
            assert read.predict(("a",), now, guess) == pytest.approx(plain.predict(("a",), now, guess))


def test_looking_does_not_change_what_is_learned() -> None:
    prior = Prior(readout=some_readout(1))
    looked, blind = Memory(prior=prior), Memory(prior=prior)
    for index in range(60):
        features = [("a",), ("a", "b"), ("c",)][index % 3]
        looked.predict(features, index * 900.0)
        looked.copy().observe(features, False, index * 900.0)
        for memory in (looked, blind):
            memory.observe(features, index % 4 > 0, index * 900.0)
    assert looked.belief("a", 1e5) == blind.belief("a", 1e5)
    assert looked.predict(("a", "b"), 1e5) == blind.predict(("a", "b"), 1e5)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sets(st.sampled_from("abcde"), max_size=4),
            st.booleans(),
            st.floats(-1e9, 1e10, allow_nan=False),
            st.sampled_from((0.0, 0.5)),
        ),
        max_size=40,
    )
)
def test_any_history_gives_sane_forecasts(answers: list[tuple[set[str], bool, float, float]]) -> None:
    memory = Memory(prior=Prior(readout=some_readout(2)))
    for features, right, now, guess in answers:
        memory.observe(sorted(features), right, now, guess)
        belief = memory.belief("a", now)
        assert 0 < belief.low <= belief.mean <= belief.high < 1
        assert 0 < memory.predict(sorted(features), now + 50.0) < 1


def tutored(seed: int, learners: int) -> list[Row]:
    """Answers that no model of ours made: products of logistic steps on a curriculum, moods, steps of a task
    that follow each other, slips and lucky answers; some days of a few tasks each."""
    world, rng = random.Random(77), random.Random(seed)
    skills = [f"skill {number}" for number in range(14)]
    ease = {skill: world.gauss(0.8, 1.0) for skill in skills}
    gain = {skill: world.uniform(0.1, 0.5) for skill in skills}
    steps = [tuple(world.sample(skills, world.choice((1, 1, 1, 2, 3)))) for _ in range(40)]
    tasks = [
        [(world.randrange(40), world.gauss(0, 0.5)) for _ in range(world.randint(2, 5))] for _ in range(20)
    ]
    rows: list[Row] = []
    for learner in range(learners):
        ability, own = rng.gauss(0.9, 0.9), {skill: rng.gauss(0, 0.5) for skill in skills}
        done, last, now = dict.fromkeys(skills, 0), dict.fromkeys(skills, 0.0), 0.0
        for _ in range(rng.randint(3, 12)):
            mood = rng.gauss(0, 0.3)
            for _ in range(rng.randint(2, 5)):
                for step, hard in tasks[rng.randrange(20)]:
                    chance = 1.0
                    for skill in steps[step]:
                        away = math.log1p((now - last[skill]) / 3600) if done[skill] else 0.0
                        logit = ability + ease[skill] + own[skill] + mood - hard
                        logit += gain[skill] * math.log1p(done[skill]) - 0.12 * away
                        chance /= 1 + math.exp(-logit)
                    right = rng.random() < 0.05 + 0.92 * chance
                    rows.append((learner, now, steps[step], right))
                    for skill in steps[step]:
                        done[skill] += 1
                        last[skill] = now
                    now += rng.lognormvariate(3.0, 0.7)
            now += DAY * rng.choice((1, 1, 2, 3, 7))
    return rows


@pytest.fixture(scope="module")
def fitted() -> Prior:
    return fit_prior(tutored(1, 40))


def forecasts(prior: Prior, rows: list[Row]) -> list[float]:
    memories: dict[int, Memory] = {}
    found = []
    for learner, now, features, right in rows:
        memory = memories.setdefault(learner, Memory(prior=prior))
        found.append(memory.predict(features, now))
        memory.observe(features, right, now)
    return found


def test_a_prior_from_a_log_forecasts_new_learners_and_its_readout_helps(fitted: Prior) -> None:
    test = tutored(2, 90)
    happened = [row[3] for row in test]
    ours = calibration(forecasts(fitted, test), happened)
    alone = calibration(forecasts(replace(fitted, readout=None), test), happened)
    assert fitted.readout is not None
    assert ours.log_loss < alone.log_loss - 0.001
    assert ours.area > alone.area
    assert ours.error < 0.025


def test_answers_after_a_day_away_are_forecast_neither_too_high_nor_too_low(fitted: Prior) -> None:
    test = tutored(3, 90)
    before: dict[int, float] = {}
    away = []
    for learner, now, _, _ in test:
        away.append(learner in before and now - before[learner] >= DAY)
        before[learner] = now
    told = [p for p, late in zip(forecasts(fitted, test), away, strict=True) if late]
    happened = [row[3] for row, late in zip(test, away, strict=True) if late]
    assert len(told) > 400
    assert abs(sum(told) - sum(happened)) / len(told) < 0.04


def test_the_same_rows_give_the_same_prior_in_any_order(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fitting, "LEAST", 100)
    rows = [row for row in tutored(4, 6) if row[1] < 3 * DAY]
    one, two = fit_prior(rows), fit_prior(list(reversed(rows)))
    assert one.readout is not None
    assert one == two


def test_features_may_be_numbers_as_in_the_tables_of_a_tutor(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fitting, "LEAST", 100)
    number_of = {f"skill {number}": number for number in range(14)}
    rows = [
        (who, now, {number_of[name] for name in names}, right) for who, now, names, right in tutored(5, 4)
    ]
    memory = Memory(prior=fit_prior(rows))  # type: ignore[arg-type]
    for _, now, features, right in rows[:80]:
        assert 0 < memory.predict(features, now) < 1  # type: ignore[arg-type]
        memory.observe(features, right, now)  # type: ignore[arg-type]


@pytest.mark.parametrize("pause", [0.0, 60.0, 3600.0, 86400.0, 1e9])
def test_a_question_is_in_one_cell_of_each_group_however_long_the_pause(pause: float) -> None:
    memory = Memory()
    assert memory._lately.cells(memory.traces, ("tie",), "tie", 0.0)[0] == 0
    memory.observe(("tie",), True, 0.0)
    memory._lately.learn(("tie",), 0.0, True, 0.1)
    first, *rest = memory._lately.cells(memory.traces, ("tie",), "tie", pause)
    # the bounds that the pause has passed, counted by hand
    assert first == 1 + sum(bound <= pause for bound in PAUSES)
    assert len({first, *rest}) == 5
    assert len(PAUSES) + 1 < min(rest) <= max(rest) < CELLS
