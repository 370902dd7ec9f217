"""The one figure that is told of a sign: its expected accuracy at a time, with its range.

Conventions: accuracies without guessing, from 0 to 1, on a pattern never met; the range is the belief's 80 %
range. Whatever says how a sign reads, in words or as a bar, is made from one of these.
"""

from __future__ import annotations

from dataclasses import dataclass

from drillapp.learning.memory import Memory

WIDEST = 0.5
"""A range over more than half of the scale tells nothing (our own line)."""
APART = 0.05
"""Two figures nearer than half a tenth, the step that figures are told in, are not told apart."""


@dataclass(frozen=True)
class Expected:
    """What is expected of reading one sign: middle and range, from so many answers, the last one at (s)."""

    feature: str
    low: float
    middle: float
    high: float
    count: int
    last: float | None = None

    @property
    def known(self) -> bool:
        """Whether anything can be told: there are answers, and the range is not too wide."""
        return self.count > 0 and self.high - self.low <= WIDEST

    @property
    def tenths(self) -> int:
        """Of ten such signs, how many are read right."""
        return round(10 * self.middle)


def expect(memory: Memory, feature: str, now: float) -> Expected:
    """What a memory expects of a feature at that time."""
    belief = memory.belief(feature, now)
    return Expected(feature, belief.low, belief.mean, belief.high, belief.count, belief.last)


def surely_apart(one: Expected, other: Expected) -> bool:
    """Whether two expectations of a sign surely differ, so that both figures may be told.

    Both can be told, their figures in tenths differ, they are at least APART from each other, and both ends
    of the range moved as the middle did.

    >>> surely_apart(Expected("tie", 0.3, 0.4, 0.5, 9), Expected("tie", 0.5, 0.6, 0.7, 9))
    True
    >>> surely_apart(Expected("tie", 0.3, 0.44, 0.5, 9), Expected("tie", 0.3, 0.46, 0.5, 9))
    False
    """
    low, high = sorted((one, other), key=lambda each: each.middle)
    return (
        one.known
        and other.known
        and low.tenths != high.tenths
        and high.middle - low.middle >= APART
        and low.low < high.low
        and low.high < high.high
    )
