"""Forecasts against what happened.

Conventions: forecasts are chances of a right answer (guessing included where answers can be guessed),
outcomes are right or wrong. Sources: log loss, Good 1952; expected calibration error over bins of equal
width, Naeini, Cooper and Hauskrecht 2015; area under the curve as the rank statistic of Mann and Whitney
1947.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from drillapp.learning.memory import Memory
from drillapp.learning.prior import Prior
from drillapp.learning.statistics import Interval, wilson


@dataclass(frozen=True)
class Bin:
    """Forecasts between low and high: their mean, and the share that came true with its interval."""

    low: float
    high: float
    forecast: float
    happened: Interval


@dataclass(frozen=True)
class ForecastScore:
    """How well forecasts held: calibration error, log loss (natural), area under the curve, bins, count.

    All three are nan without answers, the area also where all came out alike.
    """

    error: float
    log_loss: float
    area: float
    bins: tuple[Bin, ...]
    count: int


def calibration(forecasts: Sequence[float], outcomes: Sequence[bool], bins: int = 10) -> ForecastScore:
    """Compare forecasts with outcomes; bins of equal width, empty ones left out.

    Raises ValueError where they differ in number or a forecast is outside [0, 1].
    """
    if len(forecasts) != len(outcomes):
        raise ValueError(f"one outcome for each forecast: got {len(forecasts)} and {len(outcomes)}")
    p = np.asarray(forecasts, dtype=float)
    y = np.asarray(outcomes, dtype=bool)
    if not len(p):
        return ForecastScore(math.nan, math.nan, math.nan, (), 0)
    if not ((p >= 0) & (p <= 1)).all():
        raise ValueError("forecasts must be from 0 to 1")
    place = np.minimum((p * bins).astype(int), bins - 1)
    found, error = [], 0.0
    for index in range(bins):
        inside = place == index
        count = int(inside.sum())
        if count:
            mean, happened = float(p[inside].mean()), wilson(int(y[inside].sum()), count)
            error += count / len(p) * abs(mean - happened.value)
            found.append(Bin(index / bins, (index + 1) / bins, mean, happened))
    told = np.clip(np.where(y, p, 1 - p), 1e-15, 1.0)
    return ForecastScore(error, float(-np.log(told).mean()), _area(p, y), tuple(found), len(p))


def past_forecasts(
    answers: Iterable[tuple[float, Sequence[str], bool, float, Sequence[str]]], prior: Prior | None = None
) -> tuple[list[float], list[bool]]:
    """What a memory would have forecast for each answer of one learner from earlier ones, and what happened.

    answers: (seconds, features, right or wrong, guess rate, conditions as in Memory.observe), in their order.
    """
    memory = Memory(prior=prior)
    forecasts, outcomes = [], []
    for now, features, correct, guess, conditions in answers:
        forecasts.append(memory.predict(features, now, guess, conditions))
        outcomes.append(bool(correct))
        memory.observe(features, correct, now, guess, conditions)
    return forecasts, outcomes


def _area(
    p: np.ndarray[tuple[int], np.dtype[np.float64]], y: np.ndarray[tuple[int], np.dtype[np.bool_]]
) -> float:
    right = int(y.sum())
    wrong = len(y) - right
    if not right or not wrong:
        return math.nan
    _, inverse, counts = np.unique(p, return_inverse=True, return_counts=True)
    ranks = np.cumsum(counts) - (counts - 1) / 2
    total = float(ranks[inverse][y].sum())
    return (total - right * (right + 1) / 2) / (right * wrong)
