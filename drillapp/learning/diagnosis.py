"""Which signs are weak beyond the learner's own level, at a stated error rate, however often one looks.

Conventions: accuracies without guessing, from 0 to 1; evidence is whatever has features, correct and guess.

Each feature is usual (its accuracy is the learner's level, or up to 0.06 below it) or weak (0.22 to 0.4
below it); the level is shared and not known. A feature's Bayes factor for being weak, averaged over levels,
is a martingale while the feature is usual, so that the chance that it ever passes 1 / error is at most
error, however often one looks (Ville 1939; Robbins 1970). Ville's bound is far from reached in the few
answers of a check, so the factor, divided by the number of features, is held against a lower boundary set
by simulation (`boundary`), which rises as answers go on and where the other features do not bear out the
level that was expected.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LEVELS = np.array([0.3, 0.4, 0.5, 0.6, 0.68, 0.74, 0.79, 0.83, 0.86, 0.89, 0.91, 0.93, 0.95, 0.97, 0.985])
USUAL_LEVEL = 0.915
_LEVEL_SD, _LEVEL_FLOOR = 0.03, 0.01
# chances of the levels where little is taken for granted
_OPEN = np.array([1, 1, 1, 1.5, 2, 2, 3, 4, 5, 5, 5, 5, 4, 3, 1]) / 43.5
_USUAL = ((0.0, 0.93), (0.03, 0.05), (0.06, 0.02))
_WEAK = ((0.22, 0.12), (0.3, 0.55), (0.4, 0.33))
_LEAST = 0.02
WEAK_CHANCE = 0.12
"""Chance of a feature to be weak before any evidence; it orders questions, errors do not hang on it."""


class Read(Protocol):
    """What an answer says about one or more features (drillapp.drills.Evidence is one)."""

    @property
    def features(self) -> tuple[str, ...]:
        """What was read."""

    @property
    def correct(self) -> bool:
        """Whether it was read right."""

    @property
    def guess(self) -> float:
        """The chance of being right without reading."""


@dataclass(frozen=True)
class Suspect:
    """What the evidence says about one feature.

    chance: that it is weak; strength: how far the evidence has come, 1 at the boundary at which it is
    named; count: reads; needed: about how many more reads until it is named, if it is as it seems (None
    where it seems usual).
    """

    feature: str
    chance: float
    strength: float
    count: int
    needed: int | None


@dataclass(frozen=True)
class Diagnosis:
    """The weak features that the evidence shows, plainest first; empty where it shows none.

    suspects: all features read, likeliest first; level: the learner's own accuracy; clear: the evidence
    shows, at the error rate, that no feature read is weak.
    """

    weak: tuple[str, ...]
    suspects: tuple[Suspect, ...]
    level: float
    clear: bool


def diagnose(
    evidence: Iterable[Read],
    error_rate: float = 0.05,
    features: Sequence[str] = (),
    level: float = USUAL_LEVEL,
) -> Diagnosis:
    """Which features are weak beyond the learner's own level.

    error_rate: chance that a usual feature is ever named, over all features and looks. features: all that are
    looked at, asked or not (those that the evidence names are added; at least 12 are counted). level: the
    learner's accuracy where one knows it, else the usual one of a learner who reads well; the evidence
    corrects it. Raises ValueError for an error rate outside (0, 0.5].
    """
    table = Evidences(features, level)
    for read in evidence:
        table.add(read)
    return table.judge(error_rate)


def boundary(reads: float, sure: float, others: float, error_rate: float) -> float:
    """Log of what a Bayes factor, divided by the number of features, must reach for its feature to be named.

    reads: answers so far, each counted by the part that cannot be guessed; sure: that part on average;
    others: the level that the other features show. The numbers are set by simulation of learners without a
    weak feature.
    """
    grown = math.log(max(reads / 90, 1.0))
    return 1.2 + 0.5 * sure + grown + 25 * max(0.84 - others, 0.0) + math.log(0.05 / error_rate)


class Evidences:
    """Counts of answers by set of features and guess rate; grows by `add`, judged by `judge`."""

    def __init__(self, features: Sequence[str] = (), level: float = USUAL_LEVEL) -> None:
        self.names = {feature: place for place, feature in enumerate(dict.fromkeys(features))}
        self.counts: dict[tuple[tuple[int, ...], float], list[float]] = {}
        prior = np.exp(-0.5 * ((LEVELS - level) / _LEVEL_SD) ** 2) + _LEVEL_FLOOR
        self._level = np.log(prior / prior.sum())

    def add(self, read: Read, weight: float = 1.0) -> None:
        """Take one answer in, for the given part of one."""
        names = (read.features,) if isinstance(read.features, str) else read.features
        if not names:
            return
        places = tuple([self.names.setdefault(name, len(self.names)) for name in names])
        cell = self.counts.setdefault((places, float(read.guess)), [0.0, 0.0])
        cell[0 if read.correct else 1] += weight

    def judge(self, error_rate: float = 0.05) -> Diagnosis:
        """What the evidence so far shows; ValueError for an error rate outside (0, 0.5]."""
        if not 0 < error_rate <= 0.5:
            raise ValueError(f"error_rate must be above 0 and at most 0.5, not {error_rate}")
        if not self.names:
            return Diagnosis((), (), float(LEVELS @ np.exp(self._level)), False)
        usual, weak = self._likelihoods()
        names = tuple(self.names)
        counts = np.zeros(len(names))
        total, reads = 0.0, 0.0
        for (places, guess), (right, wrong) in self.counts.items():
            total += right + wrong
            reads += (right + wrong) * (1 - guess)
            for place in places:
                counts[place] += right + wrong
        mixed = np.logaddexp(usual + math.log(1 - WEAK_CHANCE), weak + math.log(WEAK_CHANCE))
        all_mixed = mixed.sum(0) + self._level
        others = all_mixed - mixed
        factors = _log_sum(others + weak) - _log_sum(others + usual)
        chances = 1 / (1 + np.exp(-np.clip(factors, -500, 500)) * (1 - WEAK_CHANCE) / WEAK_CHANCE)
        borne_out = _mean_level(usual.sum(0) - usual + np.log(_OPEN))
        many = math.log(max(len(names), 12))
        sure = reads / total if total else 0.5
        goals = [boundary(reads, sure, float(shown), error_rate) + many for shown in borne_out]
        own = float(_mean_level(all_mixed[None])[0])
        order = [int(place) for place in np.argsort(-factors, kind="stable")]
        named = tuple(names[place] for place in order if factors[place] >= goals[place])
        none = float(_log_sum((usual.sum(0) + self._level)[None])[0] - _log_sum(all_mixed[None])[0])
        none += len(names) * math.log(1 - WEAK_CHANCE)
        suspects = tuple(
            Suspect(
                names[place],
                float(chances[place]),
                min(max(float(factors[place]) / max(goals[place], 1e-9), 0.0), 1.0),
                round(counts[place]),
                self._needed(goals[place] - float(factors[place]), place, own)
                if factors[place] > 0
                else None,
            )
            for place in order
        )
        return Diagnosis(named, suspects, own, not named and none >= math.log(1 - error_rate))

    def _likelihoods(self) -> tuple[Floats, Floats]:
        """Log likelihood of each feature's answers, if usual and if weak: (features, levels)."""
        below = np.array([drop for drop, _ in (*_USUAL, *_WEAK)])
        grid = np.maximum(LEVELS[None, :] - below[:, None], _LEAST)
        logs = np.zeros((len(self.names), *grid.shape))
        for (places, guess), (right, wrong) in self.counts.items():
            chance = guess + (1 - guess) * grid
            told = right * np.log(chance) + wrong * np.log(1 - chance)
            for place in places:
                logs[place] += told / len(places)
        split = len(_USUAL)
        usual = _log_sum(np.moveaxis(logs[:, :split] + np.log([w for _, w in _USUAL])[None, :, None], 1, 2))
        weak = _log_sum(np.moveaxis(logs[:, split:] + np.log([w for _, w in _WEAK])[None, :, None], 1, 2))
        return usual, weak

    def _needed(self, missing: float, place: int, level: float) -> int:
        """Reads until the boundary, at the gain of one read if the feature is 0.3 below the level."""
        if missing <= 0:
            return 0
        rates = [guess for (places, guess) in self.counts if place in places] or [0.5]
        guess = min(rates)
        high = guess + (1 - guess) * level
        low = guess + (1 - guess) * max(level - 0.3, _LEAST)
        gain = low * math.log(low / high) + (1 - low) * math.log((1 - low) / (1 - high))
        return math.ceil(missing / max(gain, 1e-6))


def _mean_level(logs: Floats) -> Floats:
    """Mean level under each row of unnormalized log chances."""
    chances = np.exp(logs - logs.max(-1, keepdims=True))
    return np.asarray(chances @ LEVELS / chances.sum(-1))


def _log_sum(values: Floats) -> Floats:
    """Log of the sum of exponentials over the last axis."""
    top = values.max(-1, keepdims=True)
    return np.asarray((top + np.log(np.exp(values - top).sum(-1, keepdims=True)))[..., 0])
