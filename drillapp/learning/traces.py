"""One feature's trace in a memory: what it is if of each kind, and its stores.

Conventions and sources: as in `drillapp.learning.memory`. Hot code: plain floats, no checks.
"""

from __future__ import annotations

import math

from drillapp.learning.times import DAY, SCALES

PI_8 = math.pi / 8
LEAST = 1e-6  # variance below which a belief is not narrowed
RARE = 1e-9  # least chance of an answer, and of a kind of feature
DECAYS = tuple(-1 / scale for scale in SCALES)
PARTS = tuple(1 / (index + 1) for index in range(len(SCALES)))
_exp, _sqrt = math.exp, math.sqrt


class FeatureKind:
    """One feature if it is of one kind: weight of that kind, effect u, fading d, their covariance."""

    __slots__ = ("d", "dd", "gain", "u", "ud", "uu", "weight")

    def __init__(
        self, weight: float, u: float, d: float, gain: float, uu: float, ud: float, dd: float
    ) -> None:
        self.weight, self.u, self.d, self.gain, self.uu, self.ud, self.dd = weight, u, d, gain, uu, ud, dd

    def copy(self) -> FeatureKind:
        return FeatureKind(self.weight, self.u, self.d, self.gain, self.uu, self.ud, self.dd)


class Trace:
    """One feature of one learner: what it is if of each kind, stores, last practice, count."""

    __slots__ = ("count", "kinds", "last", "stores")

    def __init__(self, kinds: tuple[FeatureKind, ...]) -> None:
        self.kinds = kinds
        self.stores = [0.0] * len(SCALES)
        self.last: float | None = None
        self.count = 0

    def copy(self) -> Trace:
        twin = Trace(tuple([kind.copy() for kind in self.kinds]))
        twin.stores, twin.last, twin.count = list(self.stores), self.last, self.count
        return twin


Part = tuple[float, float, float]  # one kind's part in a mixture: weight, logit mean, variance


def sigmoid(logit: float) -> float:
    """The logistic function, safe for any logit."""
    if logit >= 0:
        return 1 / (1 + _exp(-logit))
    power = _exp(logit)
    return power / (1 + power)


def expected(mean: float, variance: float) -> float:
    """Mean of the logistic function under a Gaussian (MacKay 1992)."""
    return sigmoid(mean / _sqrt(1 + PI_8 * variance))


def widened(variance: float, gap: float, drift: float, deviation: float) -> float:
    """A variance after time away; it never grows past the prior's."""
    ceiling = deviation * deviation
    if variance >= ceiling:
        return variance
    return min(variance + drift * gap / DAY, ceiling)


def shares_of(parts: list[float], dragging: float) -> tuple[float, ...]:
    """The weight of each feature in a question with several: more for the weaker; sums to one."""
    lowest = min(parts, default=0.0)
    pulls = [_exp(dragging * (lowest - part)) for part in parts]
    total = sum(pulls)
    return tuple(pull / total for pull in pulls)


def matched_to(parts: list[Part]) -> tuple[float, float]:
    """Mean and variance of a mixture."""
    mean = square = 0.0
    for weight, h, doubt in parts:
        mean += weight * h
        square += weight * (doubt + h * h)
    return mean, max(square - mean * mean, LEAST)


def evidence_of(
    mean: float, variance: float, right: bool, guess: float, top: float
) -> tuple[float, float, float]:
    """The chance of this answer, and the first and second derivative of its logarithm by the mean."""
    narrow = 1 / _sqrt(1 + PI_8 * variance)
    p = sigmoid(mean * narrow)
    chance = guess + top * p
    slope = top * narrow * p * (1 - p)
    bend = slope * narrow * (1 - 2 * p)
    if not right:
        chance, slope, bend = 1 - chance, -slope, -bend
    if chance < RARE:
        chance = RARE
    slope /= chance
    bend = bend / chance - slope * slope
    if bend > 0:
        bend = 0.0
    elif bend * variance < -0.95:
        bend = -0.95 / variance
    return chance, slope, bend


def fill(stores: list[float], rates: tuple[float, ...], power: float) -> None:
    """Fill each store by a part of what it and the faster ones miss."""
    total = 0.0
    for index, rate in enumerate(rates):
        total += stores[index]
        missing = 1 - total * PARTS[index]
        if missing > 0:
            stores[index] += power * rate * missing
