"""How steadily people strum: the spread to expect, and a player's own lead, drift and spread.

Conventions: seconds; an *offset* is played minus written time, so early is negative here (``lead``, which
is for readers, has the other sign). A performance is modelled as

    played = written + offset(written) + noise,    offset(t) = -lead + slope t + slow wander

Sources. People who tap along are early as a rule (negative mean asynchrony, some 20 to 80 ms untrained, 0 to
30 ms musicians) and spread with an SD of about 2 % of the interval (musicians) to 4 % (untrained): Repp,
Psychonomic Bulletin and Review 12(6), 2005; Repp and Su, 20(3), 2013; Aschersleben, Brain and Cognition 48,
2002 (figures from memory). Offset and noise are told apart by Bayesian linear regression with weights for
outliers (Student's t, Lange, Little and Taylor, Journal of the American Statistical Association 84, 1989).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

UNTRAINED = 0.04  # SD of taps over their interval, untrained (Repp 2005)
LEAST_SPREAD = 0.015  # s: the SD of musicians' taps, 10 to 20 ms, below which nobody is asked to stay
MOST_SPREAD = 0.05  # s: more than 4 % of the slowest interval that is still felt as a beat (about 1.2 s)
ON_TIME = 3.2  # SDs: about 1 stroke in 700 of a steady hand lies outside

USUAL_LEAD = 0.02  # s early: between musicians (0 to 30 ms) and untrained players (20 to 80 ms)
LEAD_SPREAD = 0.07  # s: covers 80 ms early, and a device that makes everything as late, within 1.5 SDs
MOST_LEAD = 0.2  # s: beyond it an attack belongs to another slot, or the device needs calibrating
SLOPE_SPREAD = 0.05  # of the tempo: 15 %, the most that is still scored, at 3 SDs
STEADY_SLOPE = 0.02  # of the tempo: SD of players who go on as they were counted in
WANDER = 0.02  # of the tempo: how far a tempo sways within a take, SD
_WANDER_PERIOD = 2.0  # s: sways faster than this are unsteadiness, not tempo
_MOST_WAVES = 6
_PRIOR_WEIGHT = 4.0  # the usual spread counts like so many strokes
_FREEDOM = 4.0  # degrees of freedom of the outlier weights
_ROUNDS = 4  # weights settle within 1 % by then


@dataclass(frozen=True)
class Timing:
    """A player's lead (s, positive is early), slope (0.02: each beat lasts 2 % longer) and spread (s)."""

    lead: float
    slope: float
    spread: float
    length: float
    waves: tuple[float, ...] = ()
    doubt: tuple[tuple[float, ...], ...] = ()  # covariance of lead, slope and waves

    @property
    def surprise(self) -> float:
        """How unusual this lead and tempo are: -ln of their density over that of the usual ones."""
        prior = _prior_values(self.length, len(self.waves))
        off = (self.lead - USUAL_LEAD, self.slope, *self.waves)
        return sum(value * value / (2 * variance) for value, variance in zip(off, prior, strict=True))

    def offsets(self, at: Sequence[float]) -> list[float]:
        """Played minus written time to expect at these written times."""
        values: list[float] = (_basis(at, self.length, len(self.waves)) @ self._coefficients).tolist()
        return values

    def doubts(self, at: Sequence[float]) -> list[float]:
        """SD of those offsets (s)."""
        basis = _basis(at, self.length, len(self.waves))
        variance = np.einsum("ij,jk,ik->i", basis, np.array(self.doubt), basis)
        values: list[float] = np.sqrt(np.maximum(variance, 0.0)).tolist()
        return values

    @property
    def _coefficients(self) -> Any:
        return np.array([-self.lead, self.slope, *self.waves])


def usual_spread(interval: float) -> float:
    """SD (s) of an untrained player's strokes that are ``interval`` s apart: 4 %, at least 15 ms.

    >>> usual_spread(0.25), usual_spread(0.75)
    (0.015, 0.03)
    """
    return min(max(LEAST_SPREAD, UNTRAINED * interval), MOST_SPREAD)


def tolerance(slot: float, spread: float, doubt: float = 0.0) -> float:
    """How far (s) from where it is due a stroke may fall and be on time.

    ``slot``: length of its slot (s); ``spread``: the player's own SD (s); ``doubt``: SD with which the moment
    that it is due is known (s). 3.2 SDs of what is usual for an untrained player at that slot length (4 %,
    at least 15 ms: Repp 2005, Repp and Su 2013), or of the player's own spread where that is larger: an
    unsteady hand is told so once, by its spread, and not at every stroke. So at least 48 ms, which is the
    tolerance that onset detection is scored with (50 ms: MIREX, mir_eval).
    """
    return ON_TIME * math.hypot(max(usual_spread(slot), spread), doubt)


def fit(at: Sequence[float], played: Sequence[float], length: float, interval: float) -> Timing:
    """Lead, drift and spread of strokes due at ``at`` and played at ``played`` (s) in ``length`` s.

    ``interval``: the usual time between strokes (s). Outliers hardly count. With few strokes it stays near
    what is usual; with none it is what is usual.
    """
    waves = _waves(length, len(at))
    prior = _prior(length, waves)
    mean = np.zeros(2 + waves)
    mean[0] = -USUAL_LEAD
    usual = usual_spread(interval)
    if not len(at):
        return Timing(USUAL_LEAD, 0.0, usual, length, (0.0,) * waves, _rows(np.diag(prior)))
    basis = _basis(at, length, waves)
    offsets = np.asarray(played, dtype=float) - np.asarray(at, dtype=float)
    weights = np.ones(len(offsets))
    variance = (1.5 * usual) ** 2
    precision = np.diag(1 / prior)
    for _ in range(_ROUNDS):
        scaled = basis.T * (weights / variance)
        doubt = np.linalg.inv(scaled @ basis + precision)
        found = doubt @ (scaled @ offsets + precision @ mean)
        rest = offsets - basis @ found
        explained = float(np.einsum("ij,jk,ki->", scaled, basis, doubt))
        freedom = max(float(weights.sum()) - explained, 0.0)
        # (nu + 1) / nu makes the weighted squares of Gaussian noise come out at their variance.
        squares = float((weights * rest**2).sum()) * (_FREEDOM + 1) / _FREEDOM
        variance = (_PRIOR_WEIGHT * usual**2 + squares) / (_PRIOR_WEIGHT + freedom)
        variance = min(max(variance, (LEAST_SPREAD / 2) ** 2), MOST_SPREAD**2)
        weights = (_FREEDOM + 1) / (_FREEDOM + rest**2 / variance)
        weights = np.minimum(weights, 1.0)
    lead = min(max(-float(found[0]), -MOST_LEAD), MOST_LEAD)
    return Timing(
        lead, float(found[1]), math.sqrt(variance), length, tuple(map(float, found[2:])), _rows(doubt)
    )


def _waves(length: float, strokes: int) -> int:
    """Half waves of tempo to look for: none shorter than can be told from unsteadiness."""
    return max(0, min(_MOST_WAVES, int(length / _WANDER_PERIOD) - 1, strokes // 4 - 1))


def _basis(at: Sequence[float], length: float, waves: int) -> Any:
    """Columns: 1, t, and half waves that are 0 at both ends of the take (as of a Brownian bridge)."""
    moments = np.asarray(at, dtype=float)
    columns = [np.ones_like(moments), moments]
    x = np.clip(moments / length, 0.0, 1.0)
    columns.extend(np.sin(np.pi * k * x) for k in range(1, waves + 1))
    return np.stack(columns, axis=1)


@lru_cache(maxsize=256)
def _prior_values(length: float, waves: int) -> tuple[float, ...]:
    # A tempo that sways by WANDER with k half waves moves the strokes by the integral of that sway.
    sway = [(WANDER * length / (math.pi * k * k)) ** 2 for k in range(1, waves + 1)]
    return (LEAD_SPREAD**2, SLOPE_SPREAD**2, *sway)


def _prior(length: float, waves: int) -> Any:
    return np.array(_prior_values(length, waves))


def _rows(matrix: Any) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(map(float, row)) for row in matrix)
