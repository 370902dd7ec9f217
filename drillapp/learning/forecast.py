"""What is expected of a learner's reading, today and weeks ahead, with and without today's drill.

Conventions: as in `drillapp.learning.memory`; weeks ahead means after that time without further practice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from drillapp.learning.expected import Expected, expect, surely_apart
from drillapp.learning.memory import Memory
from drillapp.learning.times import WEEK


@dataclass(frozen=True)
class Forecast:
    """One feature: expected today, and later if today's drill is left out (without) or done (drilled).

    ``asked``: how often the drill asks it.
    """

    feature: str
    today: Expected
    without: Expected
    drilled: Expected
    asked: int = 0

    @property
    def differs(self) -> bool:
        """Whether the drill surely makes a difference that can be told in figures."""
        return bool(self.asked) and surely_apart(self.without, self.drilled)


def forecast(
    memory: Memory,
    features: Sequence[str],
    now: float,
    drill: Mapping[str, int],
    ahead: float = 2 * WEEK,
    seconds: float = 15.0,
) -> tuple[Forecast, ...]:
    """Forecasts for these features; the memory is left as it is.

    drill: how often today's drill asks each feature; seconds: from one question to the next; ahead: how
    long after now (s). Answers in the drill are taken to come as expected, so that it adds practice and no
    evidence.
    """
    after = memory.copy()
    asked = [(turn / count, feature) for feature, count in drill.items() for turn in range(count)]
    for number, (_, feature) in enumerate(sorted(asked)):
        after.practise(feature, now + number * seconds)
    return tuple(
        Forecast(
            feature,
            expect(memory, feature, now),
            expect(memory, feature, now + ahead),
            expect(after, feature, now + ahead),
            drill.get(feature, 0),
        )
        for feature in features
    )
