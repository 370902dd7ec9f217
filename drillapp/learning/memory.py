"""What is believed about a learner's reading of each sign: a Bayesian filter over stores that fade.

Conventions: time in seconds (any origin), logits, probabilities without guessing unless a guess rate is
given.

The chance of reading a sign right is a logistic function of: the learner's shared level, what the feature
adds for this learner, and what practice has left in a row of stores that fade at different rates. Each
practice fills each store in proportion to what it and the faster ones miss, so that practice seconds after
the last one does little, and practice on a fading sign much (a cascade of leaky stores: Staddon, Chelaru
and Higa 2002; Mozer, Pashler, Cepeda, Lindsey and Vul 2009); a sum of exponentials over spread time
constants forgets like the power law of Wixted and Carpenter 2007. Level and feature effects are Gaussian
beliefs, updated by moment matching after each answer and widened by time away (Glickman 1999).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from drillapp.learning.prior import DAY, Prior

_PI_8 = math.pi / 8
_TENTH = 1.2815515655446004  # z of the upper tenth
_HERMITE = (
    (0.0, 8 / 15),
    (1.3556261799742659, 0.22207592200561266),
    (2.8569700138728056, 0.011257411327720691),
)


@dataclass(frozen=True)
class Belief:
    """What is believed about reading one sign now, without guessing.

    mean, spread: of the expected accuracy (0 to 1); low, high: its 80 % range; last: time of the last
    answer (s) or None; count: answers so far.
    """

    mean: float
    spread: float
    low: float
    high: float
    last: float | None
    count: int


class _Trace:
    """One feature of one learner: effect (mean, variance), stores, when last practised, how often."""

    __slots__ = ("count", "last", "mean", "stores", "variance")

    def __init__(self, variance: float, stores: list[float]) -> None:
        self.mean = 0.0
        self.variance = variance
        self.stores = stores
        self.last: float | None = None
        self.count = 0

    def copy(self) -> _Trace:
        twin = _Trace(self.variance, list(self.stores))
        twin.mean, twin.last, twin.count = self.mean, self.last, self.count
        return twin


class Memory:
    """The beliefs about one learner; learns from each answer as it comes.

    features: those to know from the start; any other is new when it first comes. prior: where to start.

    >>> memory = Memory(("tie", "rest"))
    >>> for minute in range(10):
    ...     memory.observe(("tie",), False, now=60.0 * minute)
    ...     memory.observe(("rest",), True, now=60.0 * minute + 30)
    >>> memory.predict(("tie",), now=3600.0) < memory.predict(("rest",), now=3600.0)
    True
    """

    def __init__(self, features: Iterable[str] = (), prior: Prior | None = None) -> None:
        self.prior = prior if prior is not None else Prior()
        self._level = 0.0
        self._level_variance = self.prior.level_sd**2
        self._level_last: float | None = None
        self._traces: dict[str, _Trace] = {}
        for feature in features:
            self._trace(feature)

    @property
    def features(self) -> tuple[str, ...]:
        """The features known so far, in order of first mention."""
        return tuple(self._traces)

    def copy(self) -> Memory:
        """An independent twin, for looking ahead."""
        twin = Memory(prior=self.prior)
        twin._level, twin._level_variance = self._level, self._level_variance
        twin._level_last = self._level_last
        twin._traces = {feature: trace.copy() for feature, trace in self._traces.items()}
        return twin

    def predict(self, features: Iterable[str], now: float, guess: float = 0.0) -> float:
        """The chance that a question about these features is answered right at that time, in (0, 1).

        Without guessing unless a guess rate is given.
        """
        mean, variance, _ = self._question(_names(features), now)
        read = (1 - self.prior.slip) * _expected(mean, variance)
        return guess + (1 - guess) * read

    def observe(self, features: Iterable[str], correct: bool, now: float, guess: float | None = None) -> None:
        """Learn from one answer about these features, all of which it takes to be right.

        guess: the chance of being right without reading; where not given it is the prior's (0.5 unless
        fitted). A time before the last one, after a clock was set back, counts as the last one. Raises
        ValueError for a guess rate outside [0, 1) or a time that is no number.
        """
        prior = self.prior
        if guess is None:
            guess = prior.guess
        elif not 0 <= guess < 1:
            raise ValueError(f"guess must be in [0, 1), not {guess}")
        if not math.isfinite(now):
            raise ValueError(f"now must be a number of seconds, not {now}")
        names = _names(features)
        for name in names:
            self._settle(self._traces.get(name) or self._trace(name), now)
        self._settle_level(now)
        mean, variance, shares = self._question(names, now)
        slope, bend = _evidence(mean, variance, bool(correct), guess, prior.slip)
        before = self._level_variance
        self._level += before * slope
        self._level_variance = max(before + before * before * bend, 1e-6) + prior.level_noise
        for name, share in zip(names, shares, strict=True):
            trace = self._traces[name]
            spread = trace.variance * share
            trace.mean += spread * slope
            trace.variance = max(trace.variance + spread * spread * bend, 1e-6) + prior.feature_noise
            _practise(trace.stores, prior.rates)
            trace.count += 1

    def belief(self, feature: str, now: float) -> Belief:
        """What is believed about reading this feature at that time, with its spread."""
        mean, variance, _ = self._question((feature,), now)
        deviation = math.sqrt(variance)
        top = 1 - self.prior.slip
        first = second = 0.0
        for node, weight in _HERMITE:
            for at in (node, -node) if node else (node,):
                value = top * _sigmoid(mean + deviation * at)
                first += weight * value
                second += weight * value * value
        trace = self._traces.get(feature)
        return Belief(
            mean=first,
            spread=math.sqrt(max(second - first * first, 0.0)),
            low=min(first, top * _sigmoid(mean - _TENTH * deviation)),
            high=max(first, top * _sigmoid(mean + _TENTH * deviation)),
            last=trace.last if trace else None,
            count=trace.count if trace else 0,
        )

    def practise(self, feature: str, now: float) -> None:
        """Suppose one practice of this feature at that time, the answer just as expected (to look ahead)."""
        trace = self._traces.get(feature) or self._trace(feature)
        self._settle(trace, now)
        _practise(trace.stores, self.prior.rates)
        trace.count += 1

    def _trace(self, feature: str) -> _Trace:
        trace = self._traces[feature] = _Trace(self.prior.feature_sd**2, [0.0] * len(self.prior.scales))
        return trace

    def _settle(self, trace: _Trace, now: float) -> None:
        """Bring a trace to that time: stores fade, doubt widens."""
        last = trace.last
        if last is None:
            trace.last = now
        elif now > last:
            gap = now - last
            stores = trace.stores
            for index, scale in enumerate(self.prior.scales):
                stores[index] *= math.exp(-gap / scale)
            trace.variance = _widened(trace.variance, gap, self.prior.feature_drift, self.prior.feature_sd)
            trace.last = now

    def _settle_level(self, now: float) -> None:
        last = self._level_last
        if last is None:
            self._level_last = now
        elif now > last:
            self._level_variance = _widened(
                self._level_variance, now - last, self.prior.level_drift, self.prior.level_sd
            )
            self._level_last = now

    def _question(self, names: tuple[str, ...], now: float) -> tuple[float, float, tuple[float, ...]]:
        """Logit mean and variance of a question, and each feature's share in it."""
        prior = self.prior
        variance = self._level_variance
        if self._level_last is not None and now > self._level_last:
            variance = _widened(variance, now - self._level_last, prior.level_drift, prior.level_sd)
        parts = [self._part(name, now) for name in names]
        if len(parts) == 1:
            return self._level + parts[0][0], variance + parts[0][1], (1.0,)
        if not parts:
            return self._level + prior.base, variance + prior.feature_sd**2, ()
        lowest = min(part[0] for part in parts)
        pulls = [math.exp(prior.dragging * (lowest - part[0])) for part in parts]
        total = sum(pulls)
        shares = tuple(pull / total for pull in pulls)
        mean = self._level + sum(share * part[0] for share, part in zip(shares, parts, strict=True))
        variance += sum(share * share * part[1] for share, part in zip(shares, parts, strict=True))
        return mean, variance, shares

    def _part(self, name: str, now: float) -> tuple[float, float]:
        """Logit mean and variance of one feature at that time, without the learner's level."""
        prior = self.prior
        mean = prior.base + prior.offsets.get(name, 0.0)
        trace = self._traces.get(name)
        if trace is None:
            return mean, prior.feature_sd**2
        mean += trace.mean
        variance = trace.variance
        last = trace.last
        gap = now - last if last is not None else 0.0
        if gap > 0:
            for store, scale, weight in zip(trace.stores, prior.scales, prior.weights, strict=True):
                mean += weight * store * math.exp(-gap / scale)
            variance = _widened(variance, gap, prior.feature_drift, prior.feature_sd)
        else:
            for store, weight in zip(trace.stores, prior.weights, strict=True):
                mean += weight * store
        return mean, variance


def _names(features: Iterable[str]) -> tuple[str, ...]:
    if isinstance(features, str):
        return (features,)
    names = tuple(features)
    return names if len(names) < 2 else tuple(dict.fromkeys(names))


def _sigmoid(logit: float) -> float:
    if logit >= 0:
        return 1 / (1 + math.exp(-logit))
    power = math.exp(logit)
    return power / (1 + power)


def _expected(mean: float, variance: float) -> float:
    """Mean of the logistic function under a Gaussian (MacKay 1992)."""
    return _sigmoid(mean / math.sqrt(1 + _PI_8 * variance))


def _widened(variance: float, gap: float, drift: float, deviation: float) -> float:
    """A variance after time away; it never grows past the prior's."""
    ceiling = deviation * deviation
    if variance >= ceiling:
        return variance
    return min(variance + drift * gap / DAY, ceiling)


def _evidence(mean: float, variance: float, correct: bool, guess: float, slip: float) -> tuple[float, float]:
    """First and second derivative by the mean of the log chance of this answer."""
    narrow = 1 / math.sqrt(1 + _PI_8 * variance)
    p = _sigmoid(mean * narrow)
    top = (1 - guess) * (1 - slip)
    chance = guess + top * p
    slope = top * narrow * p * (1 - p)
    bend = slope * narrow * (1 - 2 * p)
    if not correct:
        chance, slope, bend = 1 - chance, -slope, -bend
    chance = max(chance, 1e-9)
    first = slope / chance
    return first, min(bend / chance - first * first, 0.0)


def _practise(stores: list[float], rates: tuple[float, ...]) -> None:
    """Fill each store by a part of what it and the faster ones miss."""
    total = 0.0
    for index, rate in enumerate(rates):
        total += stores[index]
        stores[index] += rate * max(1 - total / (index + 1), 0.0)
