"""Forecasts of simulated learners' answers against published baselines, on the same answers."""

from __future__ import annotations

import random
from collections import defaultdict

import numpy as np
import pytest
from sklearn.linear_model import LogisticRegression

from drillapp.learning import ForecastScore, Memory, calibration
from drillapp.learning.simulation.learners import FAMILIES
from drillapp.learning.simulation.policies import Uniform
from drillapp.learning.simulation.simulate import Setting, practise

SETTING = Setting(days=20)
Answer = tuple[int, float, str, bool]


@pytest.fixture(scope="module")
def answers() -> list[Answer]:
    """Answers of three new learners of each family to even practice, in order."""
    found = []
    for number in range(3 * len(FAMILIES)):
        family = FAMILIES[number % len(FAMILIES)]
        learner = family(SETTING.names, random.Random(9000 + number))
        policy = Uniform(SETTING.names, number)
        for now, feature, right in practise(learner, policy, SETTING, random.Random(number)):
            found.append((number, now, feature, right))
    return found


@pytest.fixture(scope="module")
def ours(answers: list[Answer]) -> ForecastScore:
    memories: dict[int, Memory] = defaultdict(Memory)
    forecasts = []
    for learner, now, feature, right in answers:
        forecasts.append(memories[learner].predict((feature,), now, guess=0.5))
        memories[learner].observe((feature,), right, now, guess=0.5)
    return calibration(forecasts, [right for *_, right in answers])


def test_forecasts_lose_less_than_performance_factors_fitted_to_the_very_same_answers(
    answers: list[Answer], ours: ForecastScore
) -> None:
    # PFA: Pavlik, Cen and Koedinger 2009: logit linear in wins and failures so far, an intercept for each
    # skill
    wins: dict[tuple[int, str], int] = defaultdict(int)
    failures: dict[tuple[int, str], int] = defaultdict(int)
    rows = []
    for learner, _, feature, right in answers:
        key = (learner, feature)
        rows.append([wins[key], failures[key], *(feature == name for name in SETTING.names)])
        (wins if right else failures)[key] += 1
    happened = np.array([right for *_, right in answers])
    model = LogisticRegression(max_iter=1000).fit(np.array(rows, dtype=float), happened)
    theirs = calibration(list(model.predict_proba(np.array(rows, dtype=float))[:, 1]), list(happened))
    assert ours.log_loss < theirs.log_loss
    assert ours.area > theirs.area


def test_forecasts_lose_less_than_a_running_mean_of_each_sign(
    answers: list[Answer], ours: ForecastScore
) -> None:
    right_of: dict[tuple[int, str], float] = defaultdict(lambda: 1.5)
    count_of: dict[tuple[int, str], float] = defaultdict(lambda: 2.0)
    forecasts = []
    for learner, _, feature, right in answers:
        key = (learner, feature)
        forecasts.append(right_of[key] / count_of[key])
        right_of[key] += right
        count_of[key] += 1
    assert ours.log_loss < calibration(forecasts, [right for *_, right in answers]).log_loss - 0.01


def test_forecasts_are_calibrated_to_two_in_a_hundred(ours: ForecastScore) -> None:
    assert ours.count > 7000
    assert ours.error < 0.02
