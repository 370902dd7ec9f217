"""What is believed about a learner before the first answer: one table of numbers.

Conventions: logits (natural logarithm of the odds of reading a sign right), seconds, variances in squared
logits. The sources of the model are named in `drillapp.learning.memory`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

MINUTE = 60.0
HOUR = 3600.0
DAY = 86400.0
WEEK = 7 * DAY


@dataclass(frozen=True)
class Prior:
    """The table of priors from which a Memory starts.

    base: logit of a sign never practised, for the usual learner. offsets: what a named feature adds to it.
    level_sd, feature_sd: how far learners, and the signs of one learner, lie apart (logits).
    level_noise, feature_noise: variance added with each answer; level_drift, feature_drift: with each day
    away. scales: time constants of the memory's stores (s), fast ones first; rates: the part of what is
    missing that one practice fills in each; weights: logits that a full store adds. dragging: how much the
    weakest of several signs counts in one question (0: all alike). slip: chance of a wrong answer about a
    sign read right. guess: the guess rate of answers that come without one.
    """

    base: float = 0.3
    offsets: Mapping[str, float] = field(default_factory=dict)
    level_sd: float = 0.6
    feature_sd: float = 0.9
    level_noise: float = 0.001
    feature_noise: float = 0.01
    level_drift: float = 0.002
    feature_drift: float = 0.01
    scales: tuple[float, ...] = (HOUR, DAY, 7 * DAY, 30 * DAY, 365 * DAY)
    rates: tuple[float, ...] = (0.5, 0.3, 0.15, 0.1, 0.05)
    weights: tuple[float, ...] = (0.3, 0.4, 0.6, 0.9, 1.6)
    dragging: float = 1.0
    slip: float = 0.02
    guess: float = 0.5

    def __post_init__(self) -> None:
        if not len(self.scales) == len(self.rates) == len(self.weights):
            raise ValueError(
                f"scales, rates and weights must be of one length, "
                f"not {len(self.scales)}, {len(self.rates)} and {len(self.weights)}"
            )
        if not 0 <= self.guess < 1 or not 0 <= self.slip < 1:
            raise ValueError(f"guess and slip must be in [0, 1), not {self.guess} and {self.slip}")
