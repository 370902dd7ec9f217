"""What practice in the coming weeks would lead to, and how to deal it out.

Conventions: a dose is how often a feature is practised a day, in fractions too (0.5: every second day);
logits and chances as in `drillapp.learning.memory`, by the filter without its readout; time in seconds.

A practice moves the stores of a feature by an affine map, and so does time; so weeks of a dose are one affine
map, the same for all features, and looking ahead costs next to nothing. Doses go to the features by their
marginal gain, always the steepest next step of each curve's concave envelope (Fox 1966), so that a sign that
needs many practices before they show is seen for what it is worth in the end.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from drillapp.learning.memory import Memory
from drillapp.learning.times import DAY
from drillapp.learning.traces import DECAYS, PI_8

Floats = NDArray[np.float64]

DOSES = (0.0, 0.25, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 11.0, 15.0, 20.0, 28.0)
"""Practices a day that are looked at."""
DAYS = 24
WAIT = 14


def curves(memory: Memory, features: Sequence[str], now: float) -> Floats:
    """Accuracy expected two weeks after 24 days of each dose: one row a feature, one column a dose."""
    prior = memory.prior
    means, variances, gains, weights, stores = [], [], [], [], []
    for feature in features:
        trace = memory.traces.get(feature)
        last = now if trace is None or trace.last is None else trace.last
        mixture = memory.mixture(feature, last + WAIT * DAY)
        gain = 1 + prior.gains.get(feature, 0.0)
        weights.append([part for part, _, _ in mixture])
        means.append([mean for _, mean, _ in mixture])
        variances.append([variance for _, _, variance in mixture])
        kinds = trace.kinds if trace else ()
        gains.append([gain * kind.gain for kind in kinds] or [gain * kind[3] for kind in prior.kinds])
        full = list(trace.stores) if trace else [0.0] * len(DECAYS)
        stores.append(
            (
                full,
                [x * math.exp(decay * max(now - last, 0.0)) for x, decay in zip(full, DECAYS, strict=True)],
            )
        )
    maps, scale = _weeks(prior.rates), np.array(prior.weights)
    at_last, begun = np.array([a for a, _ in stores]), np.array([b for _, b in stores])
    kept = (at_last * np.exp(WAIT * DAY * np.array(DECAYS))) @ scale  # in the means already
    filled = np.einsum("lsk,fk->fls", maps[:, :, :-1], begun) + maps[None, :, :, -1]
    more = filled @ scale - kept[:, None]
    logits = np.array(means)[:, :, None] + np.array(gains)[:, :, None] * more[:, None, :]
    narrow = np.sqrt(1 + PI_8 * np.array(variances))[:, :, None]
    read = 1 / (1 + np.exp(-np.clip(logits / narrow, -500, 500)))
    found: Floats = (1 - prior.slip) * (np.array(weights)[:, :, None] * read).sum(axis=1)
    return found


def dealt(
    gains: Floats, features: Sequence[str], signs: float, costs: Mapping[str, float] | None = None
) -> dict[str, float]:
    """Doses that add most to the sum of the curves (rows of `gains`, one a feature), `signs` a day in all.

    costs: how long one about a feature takes, as a multiple of the usual (1 where not named); signs are then
    signs of usual length.
    """
    given = dict.fromkeys(features, 0.0)
    steps: list[tuple[float, int, str, float, float]] = []
    for feature, curve in zip(features, gains.tolist(), strict=True):
        cost = (costs or {}).get(feature, 1.0)
        at = 0
        while at < len(DOSES) - 1:
            slope, to = max(
                ((curve[k] - curve[at]) / (DOSES[k] - DOSES[at]), k) for k in range(at + 1, len(DOSES))
            )
            if slope <= 0:
                break
            steps.append((-slope / cost, len(steps), feature, DOSES[to] - DOSES[at], cost))
            at = to
    left = signs
    for _, _, feature, step, cost in sorted(steps):
        step = min(step, left / cost)
        given[feature] += step
        left -= step * cost
        if left <= 0:
            break
    return given


@lru_cache(maxsize=16)
def _weeks(rates: tuple[float, ...]) -> Floats:
    """What 24 days of each dose, then two weeks, make of the stores: (doses, stores, stores + 1)."""
    size = len(rates)
    practice = np.eye(size + 1)
    for store, rate in enumerate(rates):
        practice[store, : store + 1] -= rate / (store + 1)
        practice[store, size] = rate
    night = _away(1)
    found = []
    for dose in DOSES:
        days, owed = np.eye(size + 1), 0.0
        for _ in range(DAYS):
            owed += dose
            count = int(owed)
            owed -= count
            days = night @ np.linalg.matrix_power(practice, count) @ days
        found.append((_away(WAIT - 1) @ days)[:size])
    return np.array(found)


def _away(days: float) -> Floats:
    """The map of that many days without practice."""
    return np.diag([*(math.exp(days * DAY * decay) for decay in DECAYS), 1.0])
