"""How large a question may be: it grows with how surely the signs it asks are read.

One table. A sign that is being opened is asked in the first row whatever is expected of it, alone in its
question; so is one that is misread more often than not. The steps are common practice in teaching (one thing
at a time, slowly, then longer and faster), the figures our own.

Conventions: tempo in beats a minute; accuracies without guessing.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from drillapp.music import Pattern

TOGETHER = ("beat", "skip")
"""Open from the start: that a place is struck can be asked only against one that the hand passes by."""
FRESH_FROM = 3
"""open signs from which patterns never seen may come: with fewer there are hardly any"""
SLOWEST, FASTEST = 60, 72
"""of the first row"""


@dataclass(frozen=True)
class Size:
    """``expected``: accuracy from which it holds; most ``bars``, ``ways`` and ``slots`` to write down.

    ``slow``: between 60 and 72 beats a minute, whatever the pattern's own tempo.
    """

    expected: float
    bars: int
    ways: int
    slots: int
    slow: bool = False


SIZES: tuple[Size, ...] = (
    Size(0.0, bars=1, ways=2, slots=4, slow=True),
    Size(0.6, bars=1, ways=3, slots=8),
    Size(0.75, bars=2, ways=3, slots=16),
    Size(0.85, bars=99, ways=4, slots=999),
)


def size_for(expected: float, opening: bool = False) -> Size:
    """The largest size that may come where the signs asked are read with this accuracy.

    >>> size_for(0.9).ways, size_for(0.9, opening=True).ways
    (4, 2)
    """
    if opening:
        return SIZES[0]
    return next(size for size in reversed(SIZES) if expected >= size.expected)


def cut(pattern: Pattern, bars: int) -> Pattern:
    """The first ``bars`` bars of a pattern, the pattern itself where it has no more."""
    return pattern if len(pattern.bars) <= bars else replace(pattern, bars=pattern.bars[:bars])


def slowed(pattern: Pattern, tempo: float) -> int:
    """``tempo`` brought between 60 and 72, but no faster than the pattern's own where that is slower."""
    return round(min(max(tempo, SLOWEST), FASTEST, max(float(pattern.tempo), tempo)))


def one_at_a_time(features: Collection[str], open_now: Collection[str]) -> tuple[str, ...]:
    """What a question may ask of ``features``: the open ones, or the first alone where that is to be opened.

    >>> one_at_a_time(("tie", "beat"), ("beat", "skip")), one_at_a_time(("beat", "tie"), ("beat", "skip"))
    (('tie',), ('beat',))
    """
    wanted = tuple(features)
    if wanted and wanted[0] not in open_now:
        return wanted[:1]
    return tuple(feature for feature in wanted if feature in open_now)
