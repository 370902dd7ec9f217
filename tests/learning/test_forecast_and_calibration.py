"""Forecasts with and without today's drill, and forecasts held against what happened."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from sklearn.metrics import log_loss, roc_auc_score

from drillapp.learning import Memory, calibration, expect, forecast, past_forecasts

DAY = 86400.0


def test_todays_drill_raises_what_is_expected_in_two_weeks_only_for_what_it_asks() -> None:
    memory = Memory(("tie", "rest"))
    for day in range(5):
        memory.observe(("tie",), True, day * DAY)
        memory.observe(("rest",), True, day * DAY)
    before = expect(memory, "tie", 5 * DAY)
    tie, rest = forecast(memory, ("tie", "rest"), 5 * DAY, {"tie": 6})
    assert tie.without.middle < tie.drilled.middle
    assert rest.without == rest.drilled
    assert tie.without.middle < tie.today.middle
    assert expect(memory, "tie", 5 * DAY) == before == tie.today


def test_area_and_log_loss_are_those_of_scikit_learn() -> None:
    rng = np.random.default_rng(3)
    p = np.round(rng.random(500), 2).clip(0.01, 0.99)
    y = rng.random(500) < p
    found = calibration(list(p), list(y))
    assert found.area == pytest.approx(roc_auc_score(y, p))
    assert found.log_loss == pytest.approx(log_loss(y, p))


def test_forecasts_that_hold_have_little_calibration_error_and_boasts_much() -> None:
    rng = random.Random(5)
    p = [rng.random() for _ in range(20000)]
    y = [rng.random() < chance for chance in p]
    assert calibration(p, y).error < 0.015
    assert calibration([min(1.0, chance + 0.2) for chance in p], y).error > 0.1


def test_the_error_is_the_mean_distance_between_forecast_and_share_weighted_by_count() -> None:
    # by hand: bin at 0.25 holds 4 answers, 2 right (distance 0.25); bin at 0.85 holds 2, both right (0.15)
    found = calibration([0.25] * 4 + [0.85] * 2, [True, True, False, False, True, True])
    assert found.error == pytest.approx((4 * 0.25 + 2 * 0.15) / 6)
    assert [bin_.happened.count for bin_ in found.bins] == [4, 2]


def test_past_forecasts_use_only_what_came_before() -> None:
    answers = [(n * 60.0, ("tie",), n % 3 != 0, 0.5, ()) for n in range(30)]
    forecasts, outcomes = past_forecasts(answers)
    assert outcomes == [right for _, _, right, *_ in answers]
    assert forecasts[0] == Memory().predict(("tie",), 0.0, guess=0.5)
    changed = [*answers[:20], *((now, signs, not right, *rest) for now, signs, right, *rest in answers[20:])]
    assert past_forecasts(changed)[0][:21] == forecasts[:21]


def test_nothing_to_compare_is_no_number_not_an_error() -> None:
    assert math.isnan(calibration([], []).error)
    assert math.isnan(calibration([0.5], [True]).area)


def test_wrong_use_is_told() -> None:
    with pytest.raises(ValueError, match="one outcome"):
        calibration([0.5], [])
    with pytest.raises(ValueError, match="from 0 to 1"):
        calibration([1.5], [True])
