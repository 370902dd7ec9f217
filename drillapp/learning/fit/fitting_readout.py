"""The readout fitted to logs: a logistic regression on the filter's forecasts, sets drawn to zero.

Conventions and sources: as in `drillapp.learning.readout`. Every forecast is made from the same learner's
earlier answers. Newton's steps for cells and slopes, with a Gaussian penalty about the filter as it is;
one-dimensional steps for sets and pairs. The spreads of cells, sets and pairs are estimated with them
(expectation and maximization: Dempster, Laird and Rubin 1977), so that few answers change little.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from drillapp.learning.memory import Memory
from drillapp.learning.prior import Prior
from drillapp.learning.readout import CELLS, SLOPES, Key, Lately, Pair, Readout, bent, key_of

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
_SLOPE_SD = 0.4
_SPREAD, _LEAST_SPREAD = 0.2, 0.02
_ROUNDS, _ENOUGH = 10, 1e-6
_CHUNK = 20_000
LEAST = 2000
"""Answers below which a readout is not fitted."""


@dataclass(frozen=True)
class _Looks:
    """One row an answer: cells and values of the readout, ids of set and pair, outcome, guess rate."""

    cells: Ints
    values: Floats
    sets: Ints
    pairs: Ints
    right: NDArray[np.bool_]
    guess: Floats
    keys: tuple[Key, ...]
    pair_keys: tuple[Pair, ...]


def fit_readout(
    answers: Iterable[Sequence[tuple[float, tuple[str, ...], bool, float, tuple[str, ...]]]],
    prior: Prior,
    tell: Callable[[str], None] = lambda line: None,
) -> Readout:
    """The readout that forecasts these answers best after the filter with this prior.

    answers: each learner's, in order: (seconds, features, right or wrong, guess rate, conditions).
    """
    looks = _look(answers, prior)
    count = len(looks.right)
    weights = np.zeros(CELLS + SLOPES)
    weights[CELLS] = 1.0
    start, spread = weights.copy(), _SPREAD
    groups = [
        _Group(looks.sets, len(looks.keys)),
        _Group(looks.pairs, len(looks.pair_keys)),
    ]
    before = np.inf
    for turn in range(_ROUNDS):
        fixed = _straight(looks, weights)
        total = fixed + sum(group.effects[group.ids] for group in groups)
        score, information, loss = _scores(total, looks)
        tell(f"readout {turn}: mean loss {loss / count:.5f}")
        if before - loss < 2e-5 * count and turn > 3:
            break
        before = loss
        ridge = np.repeat([1 / spread**2, 1 / _SLOPE_SD**2], [CELLS, SLOPES])
        moved, doubt = _dense_step(looks, score, information, weights - start, ridge)
        weights += moved
        spread = max(float(np.sqrt(np.mean(weights[:CELLS] ** 2 + doubt[:CELLS]))), _LEAST_SPREAD)
        total += _straight(looks, weights) - fixed
        for group in groups:
            score, information, _ = _scores(total, looks)
            total += group.step(score, information)
    sets, pairs = groups
    return Readout(
        tuple(float(weight) for weight in weights[:CELLS]),
        tuple(float(weight) for weight in weights[CELLS:]),
        dict(zip(looks.keys, (float(effect) for effect in sets.effects), strict=True)),
        {
            key: float(effect)
            for key, effect in zip(looks.pair_keys, pairs.effects, strict=True)
            if abs(effect) > 1e-3
        },
    )


class _Group:
    """Effects of one kind, drawn to zero by their spread, which is estimated with them."""

    def __init__(self, ids: Ints, count: int) -> None:
        self.ids, self.count = ids, count
        self.effects = np.zeros(count)
        self.spread = _SPREAD

    def step(self, score: Floats, information: Floats) -> Floats:
        up = np.bincount(self.ids, score, self.count) - self.effects / self.spread**2
        down = np.bincount(self.ids, information, self.count) + 1 / self.spread**2
        moved = np.clip(up / down, -1.0, 1.0)
        self.effects += moved
        self.spread = max(float(np.sqrt(np.mean(self.effects**2 + 1 / down))), _LEAST_SPREAD)
        return np.asarray(moved[self.ids])


def _look(
    answers: Iterable[Sequence[tuple[float, tuple[str, ...], bool, float, tuple[str, ...]]]], prior: Prior
) -> _Looks:
    """What the readout would be given at each answer."""
    cells: list[tuple[int, ...]] = []
    values: list[tuple[float, ...]] = []
    sets: list[int] = []
    pairs: list[int] = []
    outcomes: list[tuple[bool, float]] = []
    keys: dict[Key, int] = {}
    pair_keys: dict[Pair, int] = {}
    for learner in answers:
        memory = Memory(prior=prior)
        lately = Lately()
        for now, names, right, guess, conditions in learner:
            key = key_of(names)
            read = memory.filtered(names, now, conditions)
            z = (
                float(np.log(read / (1 - read)))
                if 1e-6 < read < 1 - 1e-6
                else (14.0 if read > 0.5 else -14.0)
            )
            cells.append(lately.cells(memory.traces, names, key, now))
            values.append((*bent(z), *lately.leans(names, key)))
            sets.append(keys.setdefault(key, len(keys)))
            pairs.append(pair_keys.setdefault((lately.before(now), key), len(pair_keys)))
            outcomes.append((right, guess))
            lately.learn(names, now, right, right - guess - (1 - guess) * read)
            memory.observe(names, right, now, guess, conditions)
    return _Looks(
        np.array(cells, dtype=np.int64),
        np.array(values),
        np.array(sets, dtype=np.int64),
        np.array(pairs, dtype=np.int64),
        np.array([right for right, _ in outcomes]),
        np.array([guess for _, guess in outcomes]),
        tuple(keys),
        tuple(pair_keys),
    )


def _straight(looks: _Looks, weights: Floats) -> Floats:
    return np.asarray(weights[looks.cells].sum(1) + looks.values @ weights[CELLS:])


def _scores(total: Floats, looks: _Looks) -> tuple[Floats, Floats, float]:
    """Score and information of each answer by its logit, and the loss of all."""
    read = 1 / (1 + np.exp(-np.clip(total, -14, 14)))
    chance = np.clip(looks.guess + (1 - looks.guess) * read, 1e-9, 1 - 1e-9)
    slope = (1 - looks.guess) * read * (1 - read)
    spread = chance * (1 - chance)
    loss = -float(np.log(np.where(looks.right, chance, 1 - chance)).sum())
    return slope * (looks.right - chance) / spread, slope * slope / spread, loss


def _dense_step(
    looks: _Looks, score: Floats, information: Floats, away: Floats, ridge: Floats
) -> tuple[Floats, Floats]:
    """Newton's step for cells and slopes, and the variance that is left."""
    size = CELLS + SLOPES
    bend, up = np.diag(ridge), -ridge * away
    for begin in range(0, len(score), _CHUNK):
        part = slice(begin, begin + _CHUNK)
        rows = np.zeros((len(score[part]), size))
        rows[np.arange(len(rows))[:, None], looks.cells[part]] = 1.0
        rows[:, CELLS:] = looks.values[part]
        up += rows.T @ score[part]
        bend += rows.T @ (rows * information[part, None])
    left = np.linalg.inv(bend)
    return left @ up, np.diag(left)
