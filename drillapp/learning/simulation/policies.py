"""Ways to choose the next sign, to compare the planner with: uniform, round robin, boxes, weakest, oracle.

Conventions: as the Planner, each has next(now) -> features and record(now, features, bits); one sign a
question. Sources: boxes with doubling days, Leitner 1972. The oracle knows the learner's true model and
state.
"""

from __future__ import annotations

import heapq
import random
from collections.abc import Mapping, Sequence
from typing import Protocol

from drillapp.learning.simulation.learners import Learner
from drillapp.learning.times import DAY


class Policy(Protocol):
    """What chooses the next signs and is told how they were read."""

    def next(self, now: float) -> tuple[str, ...]:
        """The features of the next question."""

    def record(self, now: float, features: Sequence[str], bits: Sequence[bool]) -> None:
        """How that question went: one bit a feature."""


class Uniform:
    """A feature drawn evenly each time."""

    def __init__(self, features: Sequence[str], seed: int) -> None:
        self.features, self._rng = tuple(features), random.Random(seed)

    def next(self, now: float) -> tuple[str, ...]:
        return (self._rng.choice(self.features),)

    def record(self, now: float, features: Sequence[str], bits: Sequence[bool]) -> None:
        pass


class RoundRobin(Uniform):
    """All features in turn."""

    def __init__(self, features: Sequence[str], seed: int) -> None:
        super().__init__(features, seed)
        self._turn = 0

    def next(self, now: float) -> tuple[str, ...]:
        self._turn = (self._turn + 1) % len(self.features)
        return (self.features[self._turn],)


class Boxes(Uniform):
    """Boxes asked again after 1, 2, 4, 8, ... days (Leitner 1972): right moves up a box, wrong back to the
    first.

    What is in the first box stays due until it is read right; where nothing is due, a feature is drawn
    evenly.
    """

    def __init__(self, features: Sequence[str], seed: int) -> None:
        super().__init__(features, seed)
        self._box = dict.fromkeys(self.features, 0)
        self._due = dict.fromkeys(self.features, 0.0)

    def next(self, now: float) -> tuple[str, ...]:
        due = [feature for feature in self.features if self._due[feature] <= now]
        return (self._rng.choice(due or self.features),)

    def record(self, now: float, features: Sequence[str], bits: Sequence[bool]) -> None:
        for feature, bit in zip(features, bits, strict=True):
            if self._due[feature] <= now or not bit:
                self._box[feature] = min(self._box[feature] + 1, 6) if bit else 0
                days = 2 ** (self._box[feature] - 1) if self._box[feature] else 0
                self._due[feature] = (now // DAY + days) * DAY if days else now


class Weakest(Uniform):
    """The feature with the lowest fading accuracy, one in ten drawn evenly."""

    keep = 0.9

    def __init__(self, features: Sequence[str], seed: int) -> None:
        super().__init__(features, seed)
        self._right = dict.fromkeys(self.features, 0.75)
        self._count = dict.fromkeys(self.features, 1.0)

    def _accuracy(self, feature: str) -> float:
        return min(max(2 * self._right[feature] / self._count[feature] - 1, 0.0), 1.0)

    def next(self, now: float) -> tuple[str, ...]:
        if self._rng.random() < 0.1:
            return (self._rng.choice(self.features),)
        return (min(self.features, key=lambda feature: (self._accuracy(feature), self._rng.random())),)

    def record(self, now: float, features: Sequence[str], bits: Sequence[bool]) -> None:
        for feature, bit in zip(features, bits, strict=True):
            self._right[feature] = self.keep * self._right[feature] + bit
            self._count[feature] = self.keep * self._count[feature] + 1


class Missing(Weakest):
    """A feature drawn in proportion to what is missing, 1 - p + 0.05, p a fading guess-corrected mean."""

    def next(self, now: float) -> tuple[str, ...]:
        return (self._rng.choices(self.features, [1.05 - self._accuracy(f) for f in self.features])[0],)


DOSES = (0, 8, 16, 30, 45, 60, 80, 100, 130, 170, 220, 280, 350, 450, 600, 800)


class Oracle(Uniform):
    """Doses over the days left, planned each week on the learner's true model and state.

    For each feature the truth tells what each dose leads to at the test; doses go where the next one gains
    most, and are dealt out evenly. days: planned days; signs: readings a day; test: its time (s); kept:
    part of the days that the learner comes; guess: chance of being right without reading.
    """

    def __init__(
        self,
        features: Sequence[str],
        seed: int,
        learner: Learner,
        days: int,
        signs: int,
        test: float,
        kept: float = 0.85,
        guess: float = 0.5,
    ) -> None:
        super().__init__(features, seed)
        self._learner, self._days, self._signs, self._test = learner, days, signs, test
        self._kept, self._guess = kept, guess
        self._planned = -7
        self._shares = dict.fromkeys(self.features, 1 / len(self.features))
        self._claims = {feature: self._rng.random() for feature in self.features}

    def next(self, now: float) -> tuple[str, ...]:
        day = int(now // DAY)
        if day >= self._planned + 7:
            self._plan(day)
            self._planned = day
        for feature in self.features:
            self._claims[feature] += self._shares[feature]
        chosen = max(self.features, key=self._claims.__getitem__)
        self._claims[chosen] -= 1
        return (chosen,)

    def _plan(self, day: int) -> None:
        days = max(self._days - day, 1)
        doses = [dose * days / self._days for dose in DOSES]
        curves = {feature: self._curve(feature, day, days, doses) for feature in self.features}
        given = spread(curves, doses, self._kept * days * self._signs)
        total = sum(given.values()) or 1.0
        self._shares = {feature: given[feature] / total for feature in self.features}

    def _curve(self, feature: str, day: int, days: int, doses: Sequence[float]) -> list[float]:
        learner, start = self._learner, self._learner.state(feature)
        curve = []
        for dose in doses:
            learner.restore(feature, start)
            owed = 0.0
            for number in range(day, day + days):
                owed += dose / days
                count = int(owed + 1e-9)
                owed -= count
                for turn in range(count):
                    now = number * DAY + 600.0 * turn / count
                    right = self._guess + (1 - self._guess) * learner.chance(feature, now)
                    learner.practise(feature, now, right)
            curve.append(learner.chance(feature, self._test))
        learner.restore(feature, start)
        return curve


def spread(curves: Mapping[str, Sequence[float]], doses: Sequence[float], total: float) -> dict[str, float]:
    """Doses that give the highest sum of curves: always the steepest next step, while the total lasts.

    curves: what each of the doses (rising, from 0) leads to, for each feature.
    """
    given = dict.fromkeys(curves, 0.0)
    steps: list[tuple[float, str, int, int]] = []

    def push(feature: str, at: int) -> None:
        curve = curves[feature]
        slopes = [(curve[k] - curve[at]) / (doses[k] - doses[at]) for k in range(at + 1, len(doses))]
        if slopes and max(slopes) > 0:
            heapq.heappush(steps, (-max(slopes), feature, at, at + 1 + slopes.index(max(slopes))))

    for feature in curves:
        push(feature, 0)
    while steps and total > 0:
        _, feature, at, to = heapq.heappop(steps)
        step = min(doses[to] - doses[at], total)
        given[feature] += step
        total -= step
        push(feature, to)
    return given
