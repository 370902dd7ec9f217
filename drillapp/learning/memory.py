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

from drillapp.learning.prior import Prior
from drillapp.learning.readout import Lately
from drillapp.learning.times import DAY, HOUR
from drillapp.learning.traces import (
    DECAYS,
    LEAST,
    FeatureKind,
    Part,
    Trace,
    evidence_of,
    expected,
    fill,
    matched_to,
    shares_of,
    sigmoid,
    widened,
)
from drillapp.learning.update import learn, settle

_TENTH = 1.2815515655446004  # z of the upper tenth
_HERMITE = (
    (0.0, 8 / 15),
    (1.3556261799742659, 0.22207592200561266),
    (2.8569700138728056, 0.011257411327720691),
)
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
        self._new = Trace(tuple(FeatureKind(*kind, uu, 0.0, dd) for kind in self.prior.kinds))
        self.traces: dict[str, Trace] = {}
        self.conditions: dict[str, tuple[float, float]] = {}
        self._lately = Lately()
        for feature in features:
            self._trace(feature)

    @property
    def features(self) -> tuple[str, ...]:
        """The features known so far, in order of first mention."""
        return tuple(self.traces)

    @property
    def ability(self) -> float:
        """How far the learner's level is believed to be from the usual one (logits)."""
        return self._level

    def copy(self) -> Memory:
        """An independent twin, for looking ahead."""
        twin = Memory(prior=self.prior)
        twin._level, twin._level_variance = self._level, self._level_variance
        twin._form, twin._form_variance = self._form, self._form_variance
        twin._last = self._last
        twin.traces = {feature: trace.copy() for feature, trace in self.traces.items()}
        twin.conditions = dict(self.conditions)
        twin._lately = self._lately.copy()
        return twin

    def predict(
        self, features: Iterable[str], now: float, guess: float = 0.0, conditions: Iterable[str] = ()
    ) -> float:
        """The chance that a question about these features is answered right at that time, in (0, 1).

        Without guessing unless a guess rate is given. conditions: as in observe.
        """
        names, conditions = _names(features), tuple(conditions)
        read = self.filtered(names, now, conditions)
        readout = self.prior.readout
        if readout is not None:
            read = readout.chance(read, readout.shift(self._lately, self.traces, names, now))
        return guess + (1 - guess) * read

    def filtered(self, names: tuple[str, ...], now: float, conditions: Iterable[str] = ()) -> float:
        """The filter's own chance that these features are read right, before any readout."""
        read = 0.0
        for part, mean, variance in self._question(names, now, conditions):
            read += part * expected(mean, variance)
        return read * (1 - self.prior.slip)

    def mixture(self, feature: str, now: float) -> list[Part]:
        """The filter's belief about one feature at that time: each kind's chance, logit and variance."""
        return self._question((feature,), now, ())

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
        met before). A time before the last one, after a clock was set back, counts as the last one. Raises
        ValueError for a guess rate outside [0, 1) or a time that is no number.
        """
        prior = self.prior
        if guess is None:
            guess = prior.guess
        elif not 0 <= guess < 1:
            raise ValueError(f"guess must be in [0, 1), not {guess}")
        if not math.isfinite(now):
            raise ValueError(f"now must be a number of seconds, not {now}")
        names, conditions = _names(features), tuple(conditions)
        read = -1.0
        if prior.readout is not None and len(names) != 1:
            read = self.filtered(names, now, conditions)
        self._settle(now)
        mean = self._level + self._form
        variance = self._level_variance + self._form_variance
        circumstances = [(name, *self._condition(name)) for name in conditions]
        for _, effect, doubt in circumstances:
            mean += effect
            variance += doubt
        traces = []
        for name in names:
            trace = self.traces.get(name) or self._trace(name)
            away = settle(trace, now, prior)
            traces.append((trace, away, self._parts(name, trace, away)))
        right = bool(correct)
        if prior.readout is not None:
            if read < 0:
                parts = traces[0][2]
                read = sum([part * expected(mean + h, variance + doubt) for part, h, doubt in parts])
                read *= 1 - prior.slip
            self._lately.learn(names, now, right, right - guess - (1 - guess) * read)
        power = 1.0 if right else prior.wrong
        if len(traces) == 1:
            trace, away, parts = traces[0]
            slope, bend = learn(trace, 1.0, away, parts, mean, variance, right, guess, prior)
            fill(trace.stores, prior.rates, power)
            trace.count += 1
        elif traces:
            slope = bend = 0.0
            matched = [matched_to(parts) for _, _, parts in traces]
            shares = shares_of([h for h, _ in matched], prior.dragging)
            mean += self._extra(names)
            for share, (h, doubt) in zip(shares, matched, strict=True):
                mean += share * h
                variance += share * share * doubt
            for share, (h, doubt), (trace, away, parts) in zip(shares, matched, traces, strict=True):
                rest, doubts = mean - share * h, variance - share * share * doubt
                one = learn(trace, share, away, parts, rest, doubts, right, guess, prior)
                slope += share * one[0]
                bend += share * one[1]
                fill(trace.stores, prior.rates, power)
                trace.count += 1
        else:
            top = (1 - guess) * (1 - prior.slip)
            mean, variance = mean + prior.base, variance + prior.feature_sd**2
            _, slope, bend = evidence_of(mean, variance, right, guess, top)
        bend = min(bend, 0.0)
        before = self._level_variance
        self._level += before * slope
        self._level_variance = max(before + before * before * bend, LEAST) + prior.level_noise
        before = self._form_variance
        self._form += before * slope
        self._form_variance = max(before + before * before * bend, 0.0)
        for name, effect, doubt in circumstances:
            self.conditions[name] = (effect + doubt * slope, max(doubt + doubt * doubt * bend, LEAST))

    def belief(self, feature: str, now: float) -> Belief:
        """What is believed about reading this feature at that time, with its spread."""
        top = 1 - self.prior.slip
        first = second = 0.0
        readout = self.prior.readout
        shift = readout.shift(self._lately, self.traces, (feature,), now) if readout else 0.0
        kinds = self._question((feature,), now, ())
        for part, mean, variance in kinds:
            deviation = _sqrt(variance)
            for node, weight in _HERMITE:
                for at in (node, -node) if node else (node,):
                    value = top * sigmoid(mean + deviation * at)
                    if readout is not None:
                        value = readout.chance(value, shift)
                    first += part * weight * value
                    second += part * weight * value * value
        mean, variance = matched_to(kinds)
        deviation = _sqrt(variance)
        low = top * sigmoid(mean - _TENTH * deviation)
        high = top * sigmoid(mean + _TENTH * deviation)
        if readout is not None:
            low, high = sorted((readout.chance(low, shift), readout.chance(high, shift)))
        trace = self.traces.get(feature)
        return Belief(
            mean=first,
            spread=_sqrt(max(second - first * first, 0.0)),
            low=min(first, low),
            high=max(first, high),
            last=trace.last if trace else None,
            count=trace.count if trace else 0,
        )

    def count(self, feature: str) -> int:
        """Answers about this feature so far."""
        trace = self.traces.get(feature)
        return trace.count if trace else 0

    def level(self, now: float) -> float | None:
        """The learner's usual accuracy at that time: the median of what was practised; None without any."""
        practised = [name for name, trace in self.traces.items() if trace.count]
        return median(self.predict((name,), now) for name in practised) if practised else None

    def practise(self, feature: str, now: float) -> None:
        """Suppose one practice of this feature at that time, the answer just as expected (to look ahead)."""
        trace = self.traces.get(feature) or self._trace(feature)
        settle(trace, now, self.prior)
        fill(trace.stores, self.prior.rates, 1.0)
        trace.count += 1

    def _trace(self, feature: str) -> Trace:
        trace = self.traces[feature] = self._new.copy()
        return trace

    def _condition(self, name: str) -> tuple[float, float]:
        """Effect of a circumstance, mean and variance."""
        known = self.conditions.get(name)
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
            self._level_variance = widened(self._level_variance, gap, prior.level_drift, prior.level_sd)
            kept = _exp(-gap / prior.form_scale)
            self._form *= kept
            self._form_variance = kept * kept * self._form_variance + (1 - kept * kept) * prior.form_sd**2
            self._last = now

    def _question(self, names: tuple[str, ...], now: float, conditions: Iterable[str]) -> list[Part]:
        """A question at that time or after it, as a mixture."""
        prior = self.prior
        mean, variance = self._level, self._level_variance
        last = self._last
        if last is not None and now > last:
            variance = widened(variance, now - last, prior.level_drift, prior.level_sd)
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
        matched = [matched_to(parts) for parts in traces]
        shares = shares_of([h for h, _ in matched], prior.dragging)
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

    def _parts(self, name: str, trace: Trace, away: float) -> list[Part]:
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

    def _later(self, name: str, now: float) -> list[Part]:
        """A feature at that time as a mixture of its kinds."""
        trace = self.traces.get(name) or self._new
        last = trace.last
        if last is None or now <= last:
            return self._parts(name, trace, 0.0)
        prior = self.prior
        start = prior.base + prior.offsets.get(name, 0.0) if prior.offsets else prior.base
        gap = now - last
        filled = 0.0
        for store, decay, weight in zip(trace.stores, DECAYS, prior.weights):  # noqa: B905
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
