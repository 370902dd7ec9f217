"""What is believed about a learner's reading of each sign: a Bayesian filter over stores that fade.

Conventions: time in seconds (any origin), logits, probabilities without guessing unless a guess rate is
given.

    z = a + b + sum of w_f h_f + extra         logit of a question about features f
    h_f = base + offset_f + u_f + g_f sum of weight_k x_fk - d_f ln(1 + away_f / 1 h)
    P(right) = guess + (1 - guess)(1 - slip) logistic(z)

a is the learner's level, b its passing ups and downs, u_f what the feature adds for this learner, d_f how
much faster than usual it fades: Gaussian beliefs, updated by moment matching after each answer and widened
by time away (Glickman 1999; Pelanek 2016). A feature is usual, weak or fleeting for a learner (u_f, d_f and
the gain g_f about other means): each is followed, and answers move the chances of the three (a bank of
filters: Magill 1965). w_f, summing to one, leans to the weakest of several features. x_fk is how full store
k is: it empties with its own time constant, and each practice fills it in proportion to what it and the
faster stores miss together, so that practice seconds after the last one does little and practice on a
fading sign much (cascades of leaky stores: Staddon, Chelaru and Higa 2002; Mozer, Pashler, Cepeda, Lindsey
and Vul 2009). Stores with time constants in geometric order forget nearly by a power law (Wixted and
Carpenter 2007).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from drillapp.learning.prior import DAY, HOUR, SCALES, Prior

_PI_8 = math.pi / 8
_TENTH = 1.2815515655446004  # z of the upper tenth
_LEAST = 1e-6  # variance below which a belief is not narrowed
_RARE = 1e-9  # least chance of an answer, and of a kind of feature
_HERMITE = (
    (0.0, 8 / 15),
    (1.3556261799742659, 0.22207592200561266),
    (2.8569700138728056, 0.011257411327720691),
)
_DECAYS = tuple(-1 / scale for scale in SCALES)
_PARTS = tuple(1 / (index + 1) for index in range(len(SCALES)))
_exp, _log1p, _sqrt = math.exp, math.log1p, math.sqrt


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


class _Kind:
    """One feature if it is of one kind: weight of that kind, effect u, fading d, their covariance."""

    __slots__ = ("d", "dd", "gain", "u", "ud", "uu", "weight")

    def __init__(
        self, weight: float, u: float, d: float, gain: float, uu: float, ud: float, dd: float
    ) -> None:
        self.weight, self.u, self.d, self.gain, self.uu, self.ud, self.dd = weight, u, d, gain, uu, ud, dd

    def copy(self) -> _Kind:
        return _Kind(self.weight, self.u, self.d, self.gain, self.uu, self.ud, self.dd)


class _Trace:
    """One feature of one learner: what it is if of each kind, stores, last practice, count."""

    __slots__ = ("count", "kinds", "last", "stores")

    def __init__(self, kinds: tuple[_Kind, ...]) -> None:
        self.kinds = kinds
        self.stores = [0.0] * len(SCALES)
        self.last: float | None = None
        self.count = 0

    def copy(self) -> _Trace:
        twin = _Trace(tuple([kind.copy() for kind in self.kinds]))
        twin.stores, twin.last, twin.count = list(self.stores), self.last, self.count
        return twin


_Part = tuple[float, float, float]  # one kind's part in a mixture: weight, logit mean, variance


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
        self._level, self._level_variance = 0.0, self.prior.level_sd**2
        self._form, self._form_variance = 0.0, self.prior.form_sd**2
        self._last: float | None = None
        uu, dd = self.prior.feature_sd**2, self.prior.fade_sd**2
        self._new = _Trace(tuple(_Kind(*kind, uu, 0.0, dd) for kind in self.prior.kinds))
        self._traces: dict[str, _Trace] = {}
        self._conditions: dict[str, tuple[float, float]] = {}
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
        twin._form, twin._form_variance = self._form, self._form_variance
        twin._last = self._last
        twin._traces = {feature: trace.copy() for feature, trace in self._traces.items()}
        twin._conditions = dict(self._conditions)
        return twin

    def predict(
        self, features: Iterable[str], now: float, guess: float = 0.0, conditions: Iterable[str] = ()
    ) -> float:
        """The chance that a question about these features is answered right at that time, in (0, 1).

        Without guessing unless a guess rate is given. conditions: as in observe.
        """
        read = 0.0
        for part, mean, variance in self._question(_names(features), now, conditions):
            read += part * _expected(mean, variance)
        read *= 1 - self.prior.slip
        return guess + (1 - guess) * read

    def observe(
        self,
        features: Iterable[str],
        correct: bool,
        now: float,
        guess: float | None = None,
        conditions: Iterable[str] = (),
    ) -> None:
        """Learn from one answer about these features, all of which it takes to be right.

        guess: the chance of being right without reading; where not given it is the prior's (0.5 unless
        fitted). conditions: names of circumstances with an effect of their own (a fast tempo, a pattern
        never seen). A time before the last one, after a clock was set back, counts as the last one. Raises
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
        self._settle(now)
        mean = self._level + self._form
        variance = self._level_variance + self._form_variance
        circumstances = [(name, *self._condition(name)) for name in conditions]
        for _, effect, doubt in circumstances:
            mean += effect
            variance += doubt
        traces = []
        for name in names:
            trace = self._traces.get(name) or self._trace(name)
            away = _settle(trace, now, prior)
            traces.append((trace, away, self._parts(name, trace, away)))
        right = bool(correct)
        power = 1.0 if right else prior.wrong
        if len(traces) == 1:
            trace, away, parts = traces[0]
            slope, bend = _learn(trace, 1.0, away, parts, mean, variance, right, guess, prior)
            _practise(trace.stores, prior.rates, power)
            trace.count += 1
        elif traces:
            slope = bend = 0.0
            matched = [_matched(parts) for _, _, parts in traces]
            shares = _shares([h for h, _ in matched], prior.dragging)
            mean += self._extra(names)
            for share, (h, doubt) in zip(shares, matched, strict=True):
                mean += share * h
                variance += share * share * doubt
            for share, (h, doubt), (trace, away, parts) in zip(shares, matched, traces, strict=True):
                rest, doubts = mean - share * h, variance - share * share * doubt
                one = _learn(trace, share, away, parts, rest, doubts, right, guess, prior)
                slope += share * one[0]
                bend += share * one[1]
                _practise(trace.stores, prior.rates, power)
                trace.count += 1
        else:
            top = (1 - guess) * (1 - prior.slip)
            mean, variance = mean + prior.base, variance + prior.feature_sd**2
            _, slope, bend = _evidence(mean, variance, right, guess, top)
        bend = min(bend, 0.0)
        before = self._level_variance
        self._level += before * slope
        self._level_variance = max(before + before * before * bend, _LEAST) + prior.level_noise
        before = self._form_variance
        self._form += before * slope
        self._form_variance = max(before + before * before * bend, 0.0)
        for name, effect, doubt in circumstances:
            self._conditions[name] = (effect + doubt * slope, max(doubt + doubt * doubt * bend, _LEAST))

    def belief(self, feature: str, now: float) -> Belief:
        """What is believed about reading this feature at that time, with its spread."""
        top = 1 - self.prior.slip
        first = second = 0.0
        kinds = self._question((feature,), now, ())
        for part, mean, variance in kinds:
            deviation = _sqrt(variance)
            for node, weight in _HERMITE:
                for at in (node, -node) if node else (node,):
                    value = top * _sigmoid(mean + deviation * at)
                    first += part * weight * value
                    second += part * weight * value * value
        mean, variance = _matched(kinds)
        deviation = _sqrt(variance)
        trace = self._traces.get(feature)
        return Belief(
            mean=first,
            spread=_sqrt(max(second - first * first, 0.0)),
            low=min(first, top * _sigmoid(mean - _TENTH * deviation)),
            high=max(first, top * _sigmoid(mean + _TENTH * deviation)),
            last=trace.last if trace else None,
            count=trace.count if trace else 0,
        )

    def level(self, now: float) -> float | None:
        """The learner's usual accuracy at that time: the median of what was practised; None without any."""
        practised = [name for name, trace in self._traces.items() if trace.count]
        return median(self.predict((name,), now) for name in practised) if practised else None

    def practise(self, feature: str, now: float) -> None:
        """Suppose one practice of this feature at that time, the answer just as expected (to look ahead)."""
        trace = self._traces.get(feature) or self._trace(feature)
        _settle(trace, now, self.prior)
        _practise(trace.stores, self.prior.rates, 1.0)
        trace.count += 1

    def _trace(self, feature: str) -> _Trace:
        trace = self._traces[feature] = self._new.copy()
        return trace

    def _condition(self, name: str) -> tuple[float, float]:
        """Effect of a circumstance, mean and variance."""
        known = self._conditions.get(name)
        return known or (self.prior.conditions.get(name, 0.0), self.prior.condition_sd**2)

    def _extra(self, names: tuple[str, ...]) -> float:
        """What a set of several features adds."""
        if not names:
            return self.prior.base
        usual = self.prior.several * (len(names) - 1)
        return self.prior.together.get(frozenset(names), usual) if self.prior.together else usual

    def _settle(self, now: float) -> None:
        """Bring the level and the form to that time."""
        last = self._last
        if last is None:
            self._last = now
        elif now > last:
            prior = self.prior
            gap = now - last
            self._level_variance = _widened(self._level_variance, gap, prior.level_drift, prior.level_sd)
            kept = _exp(-gap / prior.form_scale)
            self._form *= kept
            self._form_variance = kept * kept * self._form_variance + (1 - kept * kept) * prior.form_sd**2
            self._last = now

    def _question(self, names: tuple[str, ...], now: float, conditions: Iterable[str]) -> list[_Part]:
        """A question at that time or after it, as a mixture."""
        prior = self.prior
        mean, variance = self._level, self._level_variance
        last = self._last
        if last is not None and now > last:
            variance = _widened(variance, now - last, prior.level_drift, prior.level_sd)
            kept = _exp((last - now) / prior.form_scale)
            mean += kept * self._form
            kept *= kept
            variance += kept * self._form_variance + (1 - kept) * prior.form_sd**2
        else:
            mean += self._form
            variance += self._form_variance
        for name in conditions:
            effect, doubt = self._condition(name)
            mean += effect
            variance += doubt
        if len(names) == 1:
            return [(weight, mean + h, variance + doubt) for weight, h, doubt in self._later(names[0], now)]
        if not names:
            return [(1.0, mean + prior.base, variance + prior.feature_sd**2)]
        traces = [self._later(name, now) for name in names]
        matched = [_matched(parts) for parts in traces]
        shares = _shares([h for h, _ in matched], prior.dragging)
        mean += self._extra(names)
        for share, (h, doubt) in zip(shares, matched, strict=True):
            mean += share * h
            variance += share * share * doubt
        mixture = []
        for share, (middle, spread), parts in zip(shares, matched, traces, strict=True):
            square = share * share
            for weight, h, doubt in parts:
                about = variance + square * (doubt - spread)
                mixture.append((share * weight, mean + share * (h - middle), about))
        return mixture

    def _parts(self, name: str, trace: _Trace, away: float) -> list[_Part]:
        """A settled feature as a mixture of its kinds."""
        prior = self.prior
        start = prior.base + prior.offsets.get(name, 0.0) if prior.offsets else prior.base
        filled = 0.0
        for store, weight in zip(trace.stores, prior.weights):  # noqa: B905
            filled += store * weight
        if prior.gains:
            filled *= 1 + prior.gains.get(name, 0.0)
        return [
            (
                kind.weight,
                start + kind.u - kind.d * away + filled * kind.gain,
                kind.uu - away * (2 * kind.ud - away * kind.dd),
            )
            for kind in trace.kinds
        ]

    def _later(self, name: str, now: float) -> list[_Part]:
        """A feature at that time as a mixture of its kinds."""
        trace = self._traces.get(name) or self._new
        last = trace.last
        if last is None or now <= last:
            return self._parts(name, trace, 0.0)
        prior = self.prior
        start = prior.base + prior.offsets.get(name, 0.0) if prior.offsets else prior.base
        gap = now - last
        filled = 0.0
        for store, decay, weight in zip(trace.stores, _DECAYS, prior.weights):  # noqa: B905
            filled += weight * store * _exp(gap * decay)
        if prior.gains:
            filled *= 1 + prior.gains.get(name, 0.0)
        away = _log1p(gap / HOUR)
        more, most = prior.feature_drift * gap / DAY, prior.feature_sd * prior.feature_sd
        parts = []
        for kind in trace.kinds:
            uu = kind.uu
            if uu < most:
                uu = uu + more if uu + more < most else most
            h = start + kind.u - kind.d * away + filled * kind.gain
            parts.append((kind.weight, h, uu - away * (2 * kind.ud - away * kind.dd)))
        return parts


def _names(features: Iterable[str]) -> tuple[str, ...]:
    if isinstance(features, str):
        return (features,)
    names = tuple(features)
    return names if len(names) < 2 else tuple(dict.fromkeys(names))


def _sigmoid(logit: float) -> float:
    if logit >= 0:
        return 1 / (1 + _exp(-logit))
    power = _exp(logit)
    return power / (1 + power)


def _expected(mean: float, variance: float) -> float:
    """Mean of the logistic function under a Gaussian (MacKay 1992)."""
    return _sigmoid(mean / _sqrt(1 + _PI_8 * variance))


def _widened(variance: float, gap: float, drift: float, deviation: float) -> float:
    """A variance after time away; it never grows past the prior's."""
    ceiling = deviation * deviation
    if variance >= ceiling:
        return variance
    return min(variance + drift * gap / DAY, ceiling)


def _shares(parts: list[float], dragging: float) -> tuple[float, ...]:
    """The weight of each feature in a question with several: more for the weaker; sums to one."""
    lowest = min(parts, default=0.0)
    pulls = [_exp(dragging * (lowest - part)) for part in parts]
    total = sum(pulls)
    return tuple(pull / total for pull in pulls)


def _matched(parts: list[_Part]) -> tuple[float, float]:
    """Mean and variance of a mixture."""
    mean = square = 0.0
    for weight, h, doubt in parts:
        mean += weight * h
        square += weight * (doubt + h * h)
    return mean, max(square - mean * mean, _LEAST)


def _evidence(
    mean: float, variance: float, right: bool, guess: float, top: float
) -> tuple[float, float, float]:
    """The chance of this answer, and the first and second derivative of its logarithm by the mean."""
    narrow = 1 / _sqrt(1 + _PI_8 * variance)
    p = _sigmoid(mean * narrow)
    chance = guess + top * p
    slope = top * narrow * p * (1 - p)
    bend = slope * narrow * (1 - 2 * p)
    if not right:
        chance, slope, bend = 1 - chance, -slope, -bend
    if chance < _RARE:
        chance = _RARE
    slope /= chance
    bend = bend / chance - slope * slope
    if bend > 0:
        bend = 0.0
    elif bend * variance < -0.95:
        bend = -0.95 / variance
    return chance, slope, bend


def _settle(trace: _Trace, now: float, prior: Prior) -> float:
    """Bring a trace to that time: stores fade, doubt widens; gives ln(1 + hours away)."""
    last = trace.last
    if last is None:
        trace.last = now
        return 0.0
    if now <= last:
        return 0.0
    gap = now - last
    trace.stores = [store * _exp(gap * decay) for store, decay in zip(trace.stores, _DECAYS)]  # noqa: B905
    more, most = prior.feature_drift * gap / DAY, prior.feature_sd * prior.feature_sd
    for kind in trace.kinds:
        uu = kind.uu
        if uu < most:
            kind.uu = uu + more if uu + more < most else most
    trace.last = now
    return _log1p(gap / HOUR)


def _learn(
    trace: _Trace,
    share: float,
    away: float,
    parts: list[_Part],
    rest: float,
    doubts: float,
    right: bool,
    guess: float,
    prior: Prior,
) -> tuple[float, float]:
    """Move the beliefs about one feature by an answer in which it had this share.

    rest, doubts: logit mean and variance of all else in the question. Gives slope and bend for what is
    shared.
    """
    top = (1 - guess) * (1 - prior.slip)
    feature_noise, fade_noise = prior.feature_noise, prior.fade_noise
    most, most_fade = prior.feature_sd * prior.feature_sd, prior.fade_sd * prior.fade_sd
    square = share * share
    total = slopes = bends = 0.0
    for kind, (weight, h, doubt) in zip(trace.kinds, parts):  # noqa: B905
        chance, slope, bend = _evidence(rest + share * h, doubts + square * doubt, right, guess, top)
        uu, ud, dd = kind.uu, kind.ud, kind.dd
        to_u = share * (uu - away * ud)
        to_d = share * (ud - away * dd)
        kind.u += to_u * slope
        kind.d += to_d * slope
        kind.ud = ud + to_u * to_d * bend
        noisy = uu + to_u * to_u * bend + feature_noise
        if noisy > most:
            noisy = uu if uu > most else most
        kind.uu = noisy if noisy > _LEAST else _LEAST
        noisy = dd + to_d * to_d * bend + fade_noise
        if noisy > most_fade:
            noisy = dd if dd > most_fade else most_fade
        kind.dd = noisy if noisy > _LEAST else _LEAST
        chance *= weight
        kind.weight = chance
        total += chance
        slopes += chance * slope
        bends += chance * (bend + slope * slope)
    for kind in trace.kinds:
        weight = kind.weight / total
        kind.weight = weight if weight > _RARE else _RARE
    slopes /= total
    return slopes, bends / total - slopes * slopes


def _practise(stores: list[float], rates: tuple[float, ...], power: float) -> None:
    """Fill each store by a part of what it and the faster ones miss."""
    total = 0.0
    for index, rate in enumerate(rates):
        total += stores[index]
        missing = 1 - total * _PARTS[index]
        if missing > 0:
            stores[index] += power * rate * missing
