"""Simulated learners: four families of truth about learning and forgetting, none of them the memory's own
model.

Conventions: time in seconds; `chance` is that of reading a sign right without guessing, on a pattern of usual
difficulty; every learner draws its own constants, for each feature apart, and has one or two weak features.
Sources: ACT-R traces with activation-dependent decay, Pavlik and Anderson 2005; half-life growth, Settles
and Meeder 2016; time-window logistic, Choffin, Popineau, Bourda and Vie 2019; power law with savings,
Wixted and Carpenter 2007. The forms are those of the papers; the constants' ranges are ours, set so that
thirty days of even practice lead to about 0.83 on average two weeks later.
"""

from __future__ import annotations

import math
import random
from abc import ABC, abstractmethod
from bisect import bisect_left
from collections.abc import Sequence

import numpy as np

from drillapp.learning.times import DAY, HOUR


class Learner(ABC):
    """One simulated learner's true reading of each feature."""

    family = ""

    def __init__(self, features: Sequence[str], rng: random.Random) -> None:
        self.features = tuple(features)
        self.weak = frozenset(rng.sample(self.features, rng.choice((1, 2))))
        self.level = rng.gauss(0.0, 0.3)
        self._draw(rng)

    @abstractmethod
    def _draw(self, rng: random.Random) -> None:
        """Draw the constants of each feature."""

    @abstractmethod
    def state(self, feature: str) -> object:
        """A copy of what practice has left for one feature, to look ahead with."""

    @abstractmethod
    def restore(self, feature: str, state: object) -> None:
        """Put such a copy back."""

    @abstractmethod
    def chance(self, feature: str, now: float) -> float:
        """The chance of reading the feature right at that time, without guessing."""

    @abstractmethod
    def practise(self, feature: str, now: float, right: float) -> None:
        """One practice with feedback; right: 1 or 0, or the chance of it where one looks ahead."""


def logistic(x: float) -> float:
    """The logistic function, safe for all x."""
    return 1 / (1 + math.exp(-x)) if x > -700 else 0.0


class _Traces:
    """Times and decays of one feature's traces, in arrays that grow."""

    __slots__ = ("_count", "_decays", "_times")

    def __init__(self, at: float, decay: float) -> None:
        self._times = np.full(16, at)
        self._decays = np.full(16, decay)
        self._count = 1

    def copy(self) -> _Traces:
        twin = _Traces(0.0, 0.0)
        twin._times, twin._decays, twin._count = self._times.copy(), self._decays.copy(), self._count
        return twin

    def activation(self, clock: float) -> float:
        ages = np.maximum(clock - self._times[: self._count], 1.0)
        return math.log(float((ages ** -self._decays[: self._count]).sum()))

    def add(self, at: float, decay: float) -> None:
        if self._count == len(self._times):
            self._times = np.concatenate((self._times, self._times))
            self._decays = np.concatenate((self._decays, self._decays))
        self._times[self._count], self._decays[self._count] = at, decay
        self._count += 1


class Traces(Learner):
    """Each practice leaves a trace whose decay grows with the activation that it found (Pavlik and Anderson
    2005).

    Activation m = ln sum (age_i ^ -d_i), d_i = c exp(m before) + a; chance = logistic((m - threshold) /
    noise). Time between sessions counts by a factor 0.025 and noise is 0.255, as fitted there.
    """

    family = "traces"
    noise = 0.255
    shrink = 0.025

    def _draw(self, rng: random.Random) -> None:
        self._decay: dict[str, tuple[float, float]] = {}
        self._threshold: dict[str, float] = {}
        self._traces: dict[str, _Traces] = {}
        for feature in self.features:
            weak = feature in self.weak
            slowing = rng.uniform(0.008, 0.02) if weak else rng.uniform(0.06, 0.14)
            self._decay[feature] = (slowing, rng.uniform(0.15, 0.21))
            self._threshold[feature] = rng.gauss(1.95 if weak else -0.08, 0.15) - 0.3 * self.level
            self._traces[feature] = _Traces(-5 * DAY * self.shrink, self._decay[feature][1])
            for earlier in range(1 if weak else rng.randint(10, 30)):
                self.practise(feature, -DAY * (5 + 2 * earlier), 1.0)

    def state(self, feature: str) -> object:
        return self._traces[feature].copy()

    def restore(self, feature: str, state: object) -> None:
        assert isinstance(state, _Traces)
        self._traces[feature] = state.copy()

    def _clock(self, now: float) -> float:
        day, second = divmod(now, DAY)
        return day * DAY * self.shrink + min(second, HOUR) + max(second - HOUR, 0.0) * self.shrink

    def chance(self, feature: str, now: float) -> float:
        m = self._traces[feature].activation(self._clock(now))
        return logistic((m - self._threshold[feature]) / self.noise)

    def practise(self, feature: str, now: float, right: float) -> None:
        clock = self._clock(now)
        c, a = self._decay[feature]
        traces = self._traces[feature]
        traces.add(clock, c * math.exp(traces.activation(clock)) + a)


class HalfLives(Learner):
    """Recall halves with each half-life away, and half-lives grow with practice (Settles and Meeder 2016).

    chance = floor + (1 - floor) 2^(-gap / h), log2 h (days) = start + b sqrt(1 + right) + c sqrt(1 +
    wrong); a practice counts in proportion to what had faded before it, at least by a tenth.
    """

    family = "half-lives"

    def _draw(self, rng: random.Random) -> None:
        self._growth: dict[str, tuple[float, float, float, float]] = {}
        self._state: dict[str, tuple[float, float, float]] = {}
        for feature in self.features:
            weak = feature in self.weak
            start = rng.gauss(-1.0 if weak else 6.0, 0.5) + self.level
            right = rng.uniform(0.55, 0.7) if weak else rng.uniform(0.5, 0.65)
            wrong = rng.uniform(0.1, 0.2)
            floor = rng.uniform(0.0, 0.1)
            self._growth[feature] = (start, right, wrong, floor)
            self._state[feature] = (0.0, 0.0, -8 * DAY)

    def state(self, feature: str) -> object:
        return self._state[feature]

    def restore(self, feature: str, state: object) -> None:
        assert isinstance(state, tuple)
        self._state[feature] = state

    def _recall(self, feature: str, now: float) -> float:
        start, b, c, _ = self._growth[feature]
        right, wrong, last = self._state[feature]
        days = 2.0 ** (start + b * (math.sqrt(1 + right) - 1) + c * (math.sqrt(1 + wrong) - 1))
        return float(2.0 ** (-max(now - last, 0.0) / DAY / days))

    def chance(self, feature: str, now: float) -> float:
        floor = self._growth[feature][3]
        return floor + (0.97 - floor) * self._recall(feature, now)

    def practise(self, feature: str, now: float, right: float) -> None:
        counts = max(0.1, 1 - self._recall(feature, now)) * 2
        done, missed, _ = self._state[feature]
        self._state[feature] = (done + right * counts, missed + (1 - right) * counts, now)


class Windows(Learner):
    """A logistic function of wins and attempts in time windows (Choffin, Popineau, Bourda and Vie 2019).

    logit = level + ease + sum over windows (hour, day, week, month, ever) of w ln(1 + wins) - a ln(1 +
    attempts).
    """

    family = "windows"
    windows = (HOUR, DAY, 7 * DAY, 30 * DAY, math.inf)

    def _draw(self, rng: random.Random) -> None:
        self._ease: dict[str, float] = {}
        self._weights: dict[str, tuple[tuple[float, float], ...]] = {}
        self._past: dict[str, tuple[list[float], list[float]]] = {}
        for feature in self.features:
            weak = feature in self.weak
            self._ease[feature] = rng.gauss(-3.6 if weak else -1.2, 0.4) + self.level
            scale = rng.uniform(0.8, 1.2)
            self._weights[feature] = tuple(
                (scale * w, scale * a)
                for w, a in ((0.15, 0.12), (0.2, 0.1), (0.25, 0.05), (0.3, 0.0), (0.45, -0.15))
            )
            self._past[feature] = ([], [0.0])
            for earlier in range(0 if weak else rng.randint(5, 20), 0, -1):
                self.practise(feature, -DAY * (5 + 2 * earlier), 1.0)

    def state(self, feature: str) -> object:
        times, wins = self._past[feature]
        return list(times), list(wins)

    def restore(self, feature: str, state: object) -> None:
        assert isinstance(state, tuple)
        self._past[feature] = (list(state[0]), list(state[1]))

    def chance(self, feature: str, now: float) -> float:
        logit = self._ease[feature]
        times, wins = self._past[feature]
        for window, (w, a) in zip(self.windows, self._weights[feature], strict=True):
            first = bisect_left(times, now - window)
            logit += w * math.log1p(wins[-1] - wins[first]) - a * math.log1p(len(times) - first)
        return logistic(logit)

    def practise(self, feature: str, now: float, right: float) -> None:
        times, wins = self._past[feature]
        times.append(now)
        wins.append(wins[-1] + right)


class PowerLaw(Learner):
    """Power-law forgetting with savings (Wixted and Carpenter 2007): chance = m (1 + h t)^-f.

    Practice brings m nearer to its top by a part of what is missing; each practice on a faded sign makes f
    smaller (savings: what was once learned is learned again with less).
    """

    family = "power-law"

    def _draw(self, rng: random.Random) -> None:
        self._gain: dict[str, tuple[float, float, float]] = {}
        self._state: dict[str, tuple[float, float, float]] = {}
        for feature in self.features:
            weak = feature in self.weak
            gain = rng.uniform(0.004, 0.007) if weak else rng.uniform(0.05, 0.1)
            saving = rng.uniform(0.012, 0.02) if weak else rng.uniform(0.05, 0.09)
            hourly = rng.uniform(0.3, 0.8)
            self._gain[feature] = (gain, saving, hourly)
            start = rng.uniform(0.05, 0.2) if weak else rng.uniform(0.75, 0.9)
            self._state[feature] = (min(start + 0.08 * self.level, 0.95), rng.uniform(0.06, 0.1), -5 * DAY)

    def state(self, feature: str) -> object:
        return self._state[feature]

    def restore(self, feature: str, state: object) -> None:
        assert isinstance(state, tuple)
        self._state[feature] = state

    def chance(self, feature: str, now: float) -> float:
        m, f, last = self._state[feature]
        return m * float((1 + self._gain[feature][2] * max(now - last, 0.0) / HOUR) ** -f)

    def practise(self, feature: str, now: float, right: float) -> None:
        m, f, last = self._state[feature]
        gain, saving, hourly = self._gain[feature]
        faded = 1 - (1 + hourly * max(now - last, 0.0) / HOUR) ** -f
        m += gain * (0.98 - m)
        f -= (f - 0.012) * min(saving * (0.3 + 5 * faded), 0.5)
        self._state[feature] = (m, f, now)


FAMILIES: tuple[type[Learner], ...] = (Traces, HalfLives, Windows, PowerLaw)
