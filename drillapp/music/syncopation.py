"""Metric weight and syncopation.

Source: H. C. Longuet-Higgins and C. S. Lee, "The rhythmic interpretation of monophonic music", Music
Perception 1(4), 1984, 424-441. Weights: 0 for the start of a bar and one less for each level below. Of
the readings in use this is the one in which each stroke counts once, with the heaviest unstruck position
before the next stroke, if that is heavier than the stroke's own; there is no wrap-around.
"""

from __future__ import annotations

from .pattern import Pattern


def weights(pattern: Pattern) -> tuple[int, ...]:
    """Metric weight of each slot (0 for a bar's start, negative below it).

    >>> from .text import parse
    >>> weights(parse("DU DU DU DU"))
    (0, -3, -2, -3, -1, -3, -2, -3)
    """
    meter = pattern.meter
    beat_level = -2 if len(meter.strong) > 1 else -1
    found = []
    for place in pattern.places:
        if place.number == 0:
            weight = 0 if place.beat == 0 else -1 if place.beat in meter.strong else beat_level
        else:
            weight = beat_level - _depth(place.number, place.of)
        found.append(weight)
    return tuple(found)


def syncopation(pattern: Pattern) -> int:
    """Sum of the strengths of the pattern's syncopations (0 where there is none).

    >>> from .text import parse
    >>> syncopation(parse("D- -U -- D-"))  # tresillo
    2
    """
    heavy = weights(pattern)
    total = 0
    current: int | None = None
    strength = 0
    for place in pattern.places:
        if place.struck:
            total += strength
            current, strength = heavy[place.index], 0
        elif current is not None:
            strength = max(strength, heavy[place.index] - current)
    return total + strength


def _depth(number: int, of: int) -> int:
    """How many levels below the beat a later slot of it lies."""
    if of in (2, 3):
        return 1
    return 1 if number % 2 == 0 else 2
