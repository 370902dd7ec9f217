"""Performances that are recognised as a whole, and said, rather than scored stroke by stroke.

Conventions: a *rate* is how much slower than asked: 2 is half time. Seconds.
"""

from __future__ import annotations

from drillapp.music import Pattern

from .follow import LEFT_OUT_COST, Path
from .reading import Alignment, Strokes, moments, read

SCORED = "scored"
NO_STROKES, TOO_FEW, TOO_MANY = "no strokes", "too few", "too many"
HALF_TIME, DOUBLE_TIME = "half time", "double time"
TOO_SLOW, TOO_FAST = "too slow", "too fast"
UNREADABLE, UNCLEAR = "unreadable", "unclear"
#: every kind of performance
KINDS: tuple[str, ...] = (
    SCORED,
    NO_STROKES,
    TOO_FEW,
    TOO_MANY,
    HALF_TIME,
    DOUBLE_TIME,
    TOO_SLOW,
    TOO_FAST,
    UNREADABLE,
    UNCLEAR,
)

MOST_OFF = 0.15  # of the tempo: more is another tempo than the one counted in
FEWEST = 0.5  # of the written strokes: with fewer, most of the page was not played
MOST = 1.5  # strokes for each slot: more is not one stroke a slot, even if many are extra ...
MOST_BESIDES = 2  # ... and a few
HOPELESS = 4  # strokes for each slot: not even another tempo explains so many
TROUBLE = 0.25  # of the strokes read otherwise than written: then another tempo is looked for
FITS = 0.2  # of them: with so few left the other tempo is it ...
BETTER = 0.5  # ... if the trouble is halved at least ...
CLEARLY = 6.0  # ... and the reading is likelier by this (-ln of the odds, as two mistakes less)
CLEARLY_IF_CUT = 9.0  # ... or this (three less), where the take ends before the page does at that tempo
LEAST_STROKES = 4  # fewer fit many tempos
RATES = (2.0, 0.5, 1.26, 0.79, 1.58, 0.63)  # steps that the alignment bridges by itself, 15 % each way
_HALF = (1.7, 2.4)


def trouble(pattern: Pattern, take: Strokes, path: Path, slots: int | None = None) -> float:
    """Part of the strokes, written or played, that are not as written, in the first ``slots``."""
    wrong = strokes = len(path.strays)
    for place in pattern.places[:slots]:
        j = path.taken[place.index]
        if place.struck or j is not None:
            strokes += 1
            wrong += (
                not place.struck
                or j is None
                or take.hands[j] != place.slot.hand
                or take.muted[j] != place.slot.muted
            )
    return wrong / max(strokes, 1)


def recognise(pattern: Pattern, tempo: float, take: Strokes) -> tuple[str, Alignment | None, float]:
    """What kind of performance this is, its reading (where it was aligned), and its rate."""
    written, slots = len(pattern.strokes), len(pattern.places)
    end = moments(pattern, tempo)[-1]
    played = sum(time < end for time in take.times)
    if written and not take.times:
        return NO_STROKES, None, 1.0
    many = played > MOST * slots + MOST_BESIDES
    if played > HOPELESS * (slots + MOST_BESIDES):
        return TOO_MANY, None, 1.0
    reading = read(pattern, tempo, take)
    rate = 1 + reading.timing.slope
    bad = trouble(pattern, take, reading.path)
    if (many or bad > TROUBLE) and min(len(take.times), written) >= LEAST_STROKES:
        rate = _another_rate(pattern, tempo, take, reading, bad) or rate
    kind = _by_rate(rate)
    if kind == SCORED:
        judged = len(take.times) - len(reading.path.after)
        if judged < FEWEST * written:
            kind = TOO_FEW if judged else NO_STROKES
        elif many:
            kind = TOO_MANY
        elif judged >= LEAST_STROKES and reading.off_slots > judged / 2:
            kind = UNCLEAR
    return kind, reading, rate


def _by_rate(rate: float) -> str:
    if abs(1 / rate - 1) <= MOST_OFF:
        return SCORED
    low, high = _HALF
    if low <= rate <= high:
        return HALF_TIME
    if low <= 1 / rate <= high:
        return DOUBLE_TIME
    return TOO_SLOW if rate > 1 else TOO_FAST


def _another_rate(
    pattern: Pattern, tempo: float, take: Strokes, asked: Alignment, bad: float
) -> float | None:
    """The rate at which the take fits the page clearly better than at the one asked for."""
    best, least = None, asked.cost - CLEARLY
    due = moments(pattern, tempo)
    for rate in RATES:
        scaled = take.scaled(rate)
        reading = read(pattern, tempo, scaled)
        # A take that was cut off when the counted time was over says nothing of the slots after it.
        reached = sum(at <= scaled.times[-1] + (due[1] - due[0]) / 2 for at in due[:-1])
        cut = sum(
            place.struck and reading.path.taken[place.index] is None for place in pattern.places[reached:]
        )
        if 2 * reached < len(pattern.places):
            continue
        cost = reading.cost - LEFT_OUT_COST * cut + (CLEARLY_IF_CUT - CLEARLY if cut else 0.0)
        if cost < least and trouble(pattern, scaled, reading.path, reached) <= min(FITS, BETTER * bad):
            best, least = rate * (1 + reading.timing.slope), cost
    return best
