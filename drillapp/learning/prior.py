"""What is believed about a learner before the first answer: one table of numbers.

Conventions: logits (natural logarithm of the odds of reading a sign right), seconds, variances in squared
logits. The equations in which they stand, and their sources, are in `drillapp.learning.memory`; they are
fitted by `drillapp.learning.fit.fitting`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from .times import SCALES

if TYPE_CHECKING:
    from drillapp.learning.readout import Readout


_SPREADS = (
    *("level_sd", "feature_sd", "fade_sd", "form_sd", "condition_sd"),
    *("level_noise", "feature_noise", "fade_noise", "level_drift", "feature_drift"),
)


@dataclass(frozen=True)
class Prior:
    """The table of priors from which a Memory starts.

    The default numbers are fitted by `fit_numbers` to simulated practice (64 learners of four families, four
    policies; see `drillapp.learning.simulation`), but for the fleeting kind: only one of the families has
    it, and its numbers are set wider than that fit, for the planner must not overlook it.

    base: logit of a sign never practised, for the usual learner. offsets: what a named feature adds to it;
    gains: how much more (1 = double) practice of it adds than usual. together: what a set of several features
    adds when they are asked at once, by frozenset; several: what each feature past the first adds in a set
    not in it. dragging: how much the weakest of several signs counts in one question (0: all alike).
    level_sd, feature_sd, fade_sd: spread of learners' levels, of one learner's features about it, and of
    how fast features fade (logits a natural logarithm of hours away). weak_share: part of the features that
    are weak for a learner; weak_effect, weak_fade: what that adds to the logit and to the fading;
    weak_gain: what practice of a weak one adds, as a multiple of the usual. fleeting_...: the same for
    features that are read well at once and are soon lost. form_sd, form_scale: spread and time constant (s)
    of passing ups and downs. level_noise, feature_noise, fade_noise: variance added by each answer;
    level_drift, feature_drift: by each day. rates: the part of what is missing that one practice fills in
    each store; weights: logits that a full store adds; wrong: how much a practice counts that was answered
    wrong, against one answered right. conditions: what a named condition of asking adds (a fast tempo, a
    pattern met before), 0 where no log has told; condition_sd: its spread among learners. slip: chance of a
    wrong answer about a sign read right. guess: the guess rate of answers that come without one. readout:
    what a log of many learners showed beyond the filter; None: nothing.
    """

    base: float = 0.332
    offsets: Mapping[str, float] = field(default_factory=dict)
    gains: Mapping[str, float] = field(default_factory=dict)
    together: Mapping[frozenset[str], float] = field(default_factory=dict)
    several: float = 0.0
    dragging: float = 1.0
    level_sd: float = 0.918
    feature_sd: float = 0.774
    fade_sd: float = 0.0926
    weak_share: float = 0.119
    weak_effect: float = -3.39
    weak_fade: float = -0.241
    weak_gain: float = 0.703
    fleeting_share: float = 0.06
    fleeting_effect: float = -0.5
    fleeting_fade: float = 1.5
    fleeting_gain: float = 1.1
    form_sd: float = 0.262
    form_scale: float = 3.34e03
    level_noise: float = 3.38e-05
    feature_noise: float = 0.000197
    fade_noise: float = 8.95e-05
    level_drift: float = 0.000628
    feature_drift: float = 0.00635
    rates: tuple[float, ...] = (0.888, 0.703, 0.205, 0.0678, 0.00565)
    weights: tuple[float, ...] = (0.712, 0.0448, 2.06, 1.86, 9.32)
    wrong: float = 0.912
    conditions: Mapping[str, float] = field(default_factory=dict)
    condition_sd: float = 0.3
    slip: float = 0.0459
    guess: float = 0.5
    readout: Readout | None = None

    def __post_init__(self) -> None:
        if not len(SCALES) == len(self.rates) == len(self.weights):
            raise ValueError(
                f"rates and weights must be as many as the stores ({len(SCALES)}), "
                f"not {len(self.rates)} and {len(self.weights)}"
            )
        if min(share for share, *_ in self.kinds) <= 0:
            raise ValueError(
                f"weak_share and fleeting_share must be above 0 and together below 1, "
                f"not {self.weak_share} and {self.fleeting_share}"
            )
        spreads = {name: getattr(self, name) for name in _SPREADS}
        if low := [f"{name} {value}" for name, value in spreads.items() if not value >= 0]:
            raise ValueError(f"spreads, noises and drifts must be 0 or more, not {', '.join(low)}")
        if not self.form_scale > 0:
            raise ValueError(f"form_scale must be above 0 seconds, not {self.form_scale}")
        if not 0 <= self.guess < 1 or not 0 <= self.slip < 1:
            raise ValueError(f"guess and slip must be in [0, 1), not {self.guess} and {self.slip}")

    @property
    def kinds(self) -> tuple[tuple[float, float, float, float], ...]:
        """Share, effect, fading and gain of usual, weak and fleeting features."""
        return (
            (1 - self.weak_share - self.fleeting_share, 0.0, 0.0, 1.0),
            (self.weak_share, self.weak_effect, self.weak_fade, self.weak_gain),
            (self.fleeting_share, self.fleeting_effect, self.fleeting_fade, self.fleeting_gain),
        )
