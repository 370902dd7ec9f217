"""One horizontal spacing for all layers: a column for every slot, and the lines that the bars are set on.

Units: staff spaces. A gap between columns grows with the time it stands for, but less than in proportion
(twice the time, about 1.5 times the room: E. Gould, Behind Bars, 2011, on rhythmic spacing; from memory),
and never falls below what the signs in the columns need. Stretching and squeezing a line changes all its
gaps by one factor, so equal times stay equal.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import accumulate, pairwise

EIGHTH_GAP = 4.4
"""Room of an eighth at natural width."""
GROWTH = 0.6
"""Exponent of time in the room it gets: 2 ** 0.6 is 1.52."""
AIR = 0.5
"""Least white between the signs of two columns."""
LEAD_IN = 1.1
"""White after a barline or time signature before the first sign."""
LEAD_OUT = 0.9
"""Least white after the last sign before a barline."""
TIGHTEST = 0.55
"""How far a line may be squeezed below its natural width before it is broken."""
LINE_COST, SQUEEZE_COST, UNEVEN_COST = 0.15, 4.0, 0.2
"""What one more line costs, how much worse squeezing is than stretching, and what a line costs whose bars do
not divide the whole evenly: phrases of two and four bars stay together. In shares of a line, squared."""
WIDEST = 2.1
"""How far a line may be stretched beyond its natural width to fill the page."""


@dataclass
class Column:
    """What one slot needs to the left and right of its middle, the time it stands for, and its beat."""

    length: Fraction
    beat: int = 0
    left: float = 0.0
    right: float = 0.0

    def widen(self, left: float, right: float) -> None:
        self.left = max(self.left, left)
        self.right = max(self.right, right)


@dataclass(frozen=True)
class BarSpace:
    """A bar's gaps: before its first column, after each column (the last one's runs to the barline)."""

    lead: float
    natural: tuple[float, ...]
    least: tuple[float, ...]

    def width(self, factor: float) -> float:
        return self.lead + sum(map(max, (g * factor for g in self.natural), self.least))


@cache
def natural_gap(length: Fraction) -> float:
    """Room for a length of time in quarters, at natural width."""
    return float(EIGHTH_GAP * (float(length) * 2) ** GROWTH)


def bar_space(columns: Sequence[Column]) -> BarSpace:
    """Gaps of one bar from what its columns need."""
    natural = tuple(natural_gap(column.length) for column in columns)
    least = [before.right + after.left + AIR for before, after in pairwise(columns)]
    # Within a beat equal times get equal room, so what one pair needs they all get.
    needed: dict[int, float] = {}
    for column, room in zip(columns, least, strict=False):
        needed[column.beat] = max(needed.get(column.beat, 0.0), room)
    least = [needed[column.beat] for column in columns[:-1]]
    least.append(columns[-1].right + LEAD_OUT)
    return BarSpace(LEAD_IN + max(columns[0].left, 0.9), natural, tuple(least))


def break_lines(
    bars: Sequence[BarSpace], prefix: float, width: float | None, most: int | None
) -> list[tuple[int, int]]:
    """Which bars stand on each line: (first, past the last).

    Lines of ``width`` are filled as near to their natural width as can be, at no more lines than that is
    worth; ``most``: no more bars on each. A bar that does not fit alone has a line to itself.
    """
    count = len(bars)
    if width is None and most is None:
        return [(0, count)]
    per_line = most or count
    natural = [0.0, *accumulate(bar.width(1.0) for bar in bars)]
    tightest = [0.0, *accumulate(bar.width(TIGHTEST) for bar in bars)]
    goal = width
    if goal is None:
        starts = range(0, count, per_line)
        goal = prefix + max(natural[min(i + per_line, count)] - natural[i] for i in starts)

    # best[n]: the cost of the first n bars, and where the last of their lines begins.
    best: list[tuple[float, int]] = [(0.0, 0)]
    for last in range(1, count + 1):
        choices = []
        for first in range(max(0, last - per_line), last):
            if width is not None and last - first > 1 and prefix + tightest[last] - tightest[first] > width:
                continue
            slack = (prefix + natural[last] - natural[first] - goal) / goal
            cost = LINE_COST + slack * slack * (SQUEEZE_COST if slack > 0 else 1)
            if count % (last - first):
                cost += UNEVEN_COST
            choices.append((best[first][0] + cost, first))
        best.append(min(choices))
    breaks: list[tuple[int, int]] = []
    last = count
    while last:
        breaks.append((best[last][1], last))
        last = best[last][1]
    return breaks[::-1]


def stretch_factor(bars: Sequence[BarSpace], room: float) -> float:
    """The factor on natural gaps at which the bars fill ``room``: at most WIDEST, 0 where they cannot."""
    if sum(bar.width(0.0) for bar in bars) >= room:
        return 0.0
    if sum(bar.width(WIDEST) for bar in bars) <= room:
        return WIDEST
    low, high = 0.0, WIDEST
    for _ in range(30):
        factor = (low + high) / 2
        if sum(bar.width(factor) for bar in bars) > room:
            high = factor
        else:
            low = factor
    return low
