"""How hard a pattern is to read and play, and whether a hand can play it at all.

Difficulty is computed from the signs present, how many slots go by in a second, and syncopation
(H. C. Longuet-Higgins and C. S. Lee, Music Perception 1(4), 1984). It runs from 0 to 1.

The bounds of the hand are common practice, no source: an arm that swings down and up keeps going to about
ten strokes a second; two strokes the same way need the arm to travel back, and twice the time.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import lru_cache
from itertools import pairwise

from .feature_table import FEATURE_TABLE
from .features import features_of
from .meter import Meter
from .pattern import Pattern, Place
from .slots import Number, natural_hand
from .syncopation import syncopation

#: What each kind of sign adds (its weight times how much of it there is, at most 1).
SIGN_WEIGHTS: dict[str, float] = {name: row.weight for name, row in FEATURE_TABLE.items()}
USUAL_METERS = ("2/4", "3/4", "4/4", "2/2", "6/8", "9/8", "12/8")
ODD_METER = 0.08
SYNCOPATION = 0.16
SPEED = 0.20
LENGTH = 0.07
FASTEST_TURN = 0.1  # seconds between a down and an up
FASTEST_RETURN = 0.19  # seconds between two strokes the same way


@lru_cache(maxsize=1024)
def difficulty(pattern: Pattern, tempo: Number | None = None) -> float:
    """How hard the pattern is at ``tempo`` (its own where None): 0 easiest, 1 hardest.

    >>> from .text import parse
    >>> [difficulty(parse(text)) for text in ("D D D D", "D- DU -U DU", "D-DU XUDU -UDU -UX-")]
    [0.0143, 0.3371, 0.6829]
    """
    seconds = pattern.seconds(pattern.length)
    if tempo is not None:
        seconds *= float(pattern.tempo) / float(tempo)
    return difficulty_of(
        features_of(pattern),
        pattern.meter,
        len(pattern.bars),
        syncopation(pattern),
        len(pattern.places) / seconds,
    )


def difficulty_of(
    features: Collection[str], meter: Meter, bars: int, syncopated: int, slots_a_second: float
) -> float:
    """The same from what it is computed of: signs present, meter, bars, syncopation, speed."""
    total = sum(SIGN_WEIGHTS[feature] for feature in features)
    if meter.text not in USUAL_METERS:
        total += ODD_METER
    total += SYNCOPATION * min(1.0, syncopated / (4 * bars))
    total += SPEED * min(1.0, max(0.0, slots_a_second - 1) / 7)
    total += LENGTH * min(1.0, (bars - 1) / 3)
    return round(min(1.0, total), 4)


def hindrances(pattern: Pattern, tempo: Number | None = None) -> tuple[str, ...]:
    """What keeps a hand from playing the pattern at ``tempo`` (its own where None); empty where nothing does.

    >>> from .text import parse
    >>> hindrances(parse("DDDD DDDD D D"), 100)
    ('two strokes down 0.150 s apart, from beat 1 of bar 1; the arm needs 0.19 s to come back',)
    """
    return tuple(_hindrances(pattern, 1.0 if tempo is None else float(pattern.tempo) / float(tempo)))


def against_the_hand(place: Place) -> bool:
    """Whether a stroke here goes against the arm (never on the free slots of a beat of three)."""
    if not place.struck or (place.of == 3 and place.number):
        return False
    return place.slot.hand != natural_hand(place.number, place.of)


def _hindrances(pattern: Pattern, stretch: float) -> Iterator[str]:
    struck = [(pattern.seconds(place.at) * stretch, place) for place in pattern.places if place.struck]
    again = [(at + pattern.seconds(pattern.length) * stretch, place) for at, place in struck[:1]]
    told: set[bool] = set()
    for (at, place), (then, after) in pairwise(struck + again):
        gap = then - at
        same = place.slot.hand == after.slot.hand
        least = FASTEST_RETURN if same else FASTEST_TURN
        if gap < least - 1e-9 and same not in told:
            told.add(same)
            what = f"two strokes {place.slot.hand}" if same else "a down and an up"
            why = "to come back" if same else "from one to the next"
            where = f"from beat {place.beat + 1} of bar {place.bar + 1}"
            yield f"{what} {gap:.3f} s apart, {where}; the arm needs {least} s {why}"
