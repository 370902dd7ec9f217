"""Reading a performance: align, learn the player's lead and tempo, align again; even or swung.

Conventions: seconds from the first beat; ``off`` is played minus due, so early is negative.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from operator import attrgetter
from statistics import median

from drillapp.music import Pattern
from drillapp.music.ways import USUAL_SWING

from .follow import STEADY, UNKNOWN, Due, Outlook, Path, follow
from .timing import Timing, fit, tolerance, usual_spread

CAREFUL = 1.5  # the first alignment allows for so many usual spreads, since nothing is known yet
KNOWN = Outlook()
MOST_ROUNDS = 3  # alignments with the timing known; nearly all settle at the first
DOUBTFUL_SLOPE = 0.05  # of the tempo: few players go so far from it
SWING_ENOUGH = 2  # strokes between the beats that tell swung from even
SWING_DOUBT = 0.3  # of the way from even to swung: from here on the other reading is tried
SWING_MARGIN = 3.0  # -ln of the odds that a page is read swung for even: 1 in 20, as for any sign
MOST_SWING, LEAST_SWING = Fraction(4), Fraction(11, 10)  # long to short that players make


@dataclass(frozen=True)
class Strokes:
    """The strokes of a performance in order of time: ``numbers`` are their indexes as they were given."""

    times: tuple[float, ...]
    hands: tuple[str, ...]
    muted: tuple[bool, ...]
    forces: tuple[float, ...]
    numbers: tuple[int, ...]

    def scaled(self, rate: float) -> Strokes:
        """The same strokes in a time that runs ``rate`` times as fast."""
        return replace(self, times=tuple(time / rate for time in self.times))


@dataclass(frozen=True)
class Alignment:
    """What was played for what: the path, the player's timing, and for each slot how far off its stroke was.

    ``offs`` (s) has None where a slot took no stroke; ``swing`` is the long to short that was played, None
    where even or where the pattern cannot tell.
    """

    path: Path
    timing: Timing
    offs: tuple[float | None, ...]
    limits: tuple[float, ...]
    swing: Fraction | None
    tells_swing: bool
    cost: float
    expected: tuple[float, ...]  # s: when each slot was due by the page and the player's own timing
    off_slots: int  # strokes that no slot took or that were out of time, by the feel that was played

    def nearest(self, time: float) -> int:
        """The slot that was due nearest to ``time``."""
        return min(range(len(self.expected)), key=lambda slot: abs(self.expected[slot] - time))

    def out_of_time(self, slot: int) -> bool:
        off = self.offs[slot]
        return off is not None and abs(off) > self.limits[slot]


def read(pattern: Pattern, tempo: float, take: Strokes) -> Alignment:
    """The likeliest reading of ``take`` as a performance of ``pattern`` at ``tempo``.

    Where strokes between the beats can tell, it finds out if they were played even or swung, and at what
    ratio: that is the player's own choice (it falls as the tempo rises: Friberg and Sundstrom, Music
    Perception 19(3), 2002). The slots are judged by the written feel.
    """
    written = _read(pattern, tempo, take)
    feel = _feel(pattern, tempo, written)
    if feel is None:
        return written
    swung = pattern.swing is not None
    if abs(feel - swung) <= SWING_DOUBT:
        return replace(written, tells_swing=True, swing=pattern.swing)
    if not swung and feel < 0.5:  # lame, rather than swung
        return written
    own = _ratio(pattern.swing or USUAL_SWING, feel)
    other = _read(replace(pattern, swing=None if swung else own), tempo, take)
    if other.cost + SWING_MARGIN > written.cost:
        sure = other.cost > written.cost + SWING_MARGIN
        if sure and swung:  # at a ratio of the player's own
            written = _read(replace(pattern, swing=own), tempo, take)
        return replace(written, tells_swing=sure, swing=own if sure and swung else None)
    return replace(
        _judged(pattern, tempo, take, other.path, other.timing, other.cost),
        off_slots=other.off_slots,
        tells_swing=True,
        swing=None if swung else own,
    )


def moments(pattern: Pattern, tempo: float) -> tuple[float, ...]:
    """When each slot is due, and the end, in seconds at ``tempo``."""
    rate = float(pattern.tempo) / float(tempo)
    return tuple(moment * rate for moment in _moments(pattern))


@lru_cache(maxsize=256)
def _moments(pattern: Pattern) -> tuple[float, ...]:
    return (*(pattern.seconds(place.at) for place in pattern.places), pattern.seconds(pattern.length))


@lru_cache(maxsize=256)
def _slot_lengths(pattern: Pattern) -> tuple[float, ...]:
    """Length of each slot in seconds at the pattern's own tempo, swing left aside."""
    second = 60.0 / (float(pattern.tempo) * float(pattern.meter.unit))
    return tuple(float(place.length) * second for place in pattern.places)


def _read(pattern: Pattern, tempo: float, take: Strokes) -> Alignment:
    """The likeliest reading by the written feel.

    A tempo that comes out far from the one asked for may be a few strokes misread early in the take, so then
    it is read again as by a player who kept the tempo, and the likelier reading is taken.
    """
    reading = _follow(pattern, tempo, take, UNKNOWN)
    if abs(reading.timing.slope) > DOUBTFUL_SLOPE:
        reading = min(reading, _follow(pattern, tempo, take, STEADY), key=attrgetter("cost"))
    return reading


def _follow(pattern: Pattern, tempo: float, take: Strokes, outlook: Outlook) -> Alignment:
    """Align with an unknown lead and tempo, estimate them, align with them known, and estimate again."""
    due = moments(pattern, tempo)
    rate = float(pattern.tempo) / float(tempo)
    interval = median(_slot_lengths(pattern)) * rate
    strokes = (take.times, take.hands, take.muted)
    path = follow(_slots(pattern, due), *strokes, CAREFUL * usual_spread(interval), outlook)
    timing = _timing(due, take, path, interval)
    for _ in range(MOST_ROUNDS):
        expected = [d + o for d, o in zip(due, timing.offsets(due), strict=True)]
        again = follow(_slots(pattern, expected), *strokes, timing.spread, KNOWN)
        settled = again.taken == path.taken
        path = again
        if settled:
            break
        timing = _timing(due, take, path, interval)
    judged = len(take.times) - len(path.after)
    cost = path.cost + judged * math.log(timing.spread / usual_spread(interval)) + timing.surprise
    return _judged(pattern, tempo, take, path, timing, cost)


def _timing(due: Sequence[float], take: Strokes, path: Path, interval: float) -> Timing:
    pairs = [(due[slot], take.times[j]) for slot, j in enumerate(path.taken) if j is not None]
    return fit([at for at, _ in pairs], [time for _, time in pairs], due[-1], interval)


def _slots(pattern: Pattern, due: Sequence[float]) -> list[Due]:
    """The slots at the moments ``due`` (one more than there are slots: the end)."""
    gaps = [max(later - at, 0.0) for at, later in pairwise(due)]
    return [
        Due(
            due[place.index],
            place.struck,
            place.slot.hand,
            place.slot.muted,
            gaps[max(place.index - 1, 0)] / 2,
            gaps[place.index] / 2,
        )
        for place in pattern.places
    ]


def _judged(
    pattern: Pattern, tempo: float, take: Strokes, path: Path, timing: Timing, cost: float
) -> Alignment:
    """How far off each stroke is from where the page and the player's own timing put it."""
    due = moments(pattern, tempo)[:-1]
    rate = float(pattern.tempo) / float(tempo)
    expected = [at + offset for at, offset in zip(due, timing.offsets(due), strict=True)]
    offs = tuple(
        None if j is None else take.times[j] - at for at, j in zip(expected, path.taken, strict=True)
    )
    limits = tuple(
        tolerance(length * rate, timing.spread, doubt)
        for length, doubt in zip(_slot_lengths(pattern), timing.doubts(due), strict=True)
    )
    lost = sum(off is not None and abs(off) > limit for off, limit in zip(offs, limits, strict=True))
    return Alignment(path, timing, offs, limits, None, False, cost, tuple(expected), lost + len(path.strays))


@lru_cache(maxsize=256)
def _swingable(pattern: Pattern) -> frozenset[int]:
    """Struck slots that swing would move."""
    return frozenset(
        place.index
        for place in pattern.places
        if place.struck and place.number and place.of in (2, 4) and not pattern.meter.is_compound(place.beat)
    )


def _feel(pattern: Pattern, tempo: float, reading: Alignment) -> float | None:
    """Where strokes between the beats fall on the way from even (0) to swung (1: the written ratio or 2:1).

    None where too few strokes tell. A lag of all strokes is no swing, so strokes on the beat must tell too.
    """
    moved = _swingable(pattern)
    if len(moved) < SWING_ENOUGH:
        return None
    even = moments(replace(pattern, swing=None), tempo)
    swung = moments(replace(pattern, swing=pattern.swing or USUAL_SWING), tempo)
    here = [(slot, off) for slot, off in enumerate(reading.offs) if off is not None]
    between = [(slot, off) for slot, off in here if slot in moved]
    others = [off for slot, off in here if slot not in moved and pattern.places[slot].number == 0]
    if len(between) < SWING_ENOUGH or len(others) < SWING_ENOUGH:
        return None
    middle = median(others)
    way = median((off - middle) / (swung[slot] - even[slot]) for slot, off in between)
    return way + (pattern.swing is not None)


def _ratio(full: Fraction, feel: float) -> Fraction:
    """The ratio of long to short that lies ``feel`` of the way from even to ``full``."""
    share = 0.5 + feel * (float(full / (full + 1)) - 0.5)
    ratio = Fraction(share / max(1 - share, 0.1)).limit_denominator(20)
    return min(max(ratio, LEAST_SWING), MOST_SWING)
