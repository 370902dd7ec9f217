"""Count syllables: what is said at each slot. Teachers differ, so there are several sets.

Sources: "1 + 2 +", "1 e + a", "1 trip let" and numbered compound eighths: common practice. "1 la li":
the Eastman system (A. I. McHose and R. N. Tibbs, 1944; from memory). "ta ka di mi": R. Hoffman, W. Pelto
and J. W. White, Takadimi, Journal of Music Theory Pedagogy 10, 1996 (from memory).
"""

from __future__ import annotations

from .pattern import Pattern, Place

_AFTER_BEAT: dict[str, dict[str, tuple[str, ...]]] = {
    "1 + 2 +": {
        "2": ("+",),
        "4": ("e", "+", "a"),
        "3": ("trip", "let"),
        "6": ("ta", "trip", "ta", "let", "ta"),
    },
    "1 la li": {
        "2": ("te",),
        "4": ("ta", "te", "ta"),
        "3": ("la", "li"),
        "6": ("ta", "la", "ta", "li", "ta"),
    },
    "ta ka di mi": {
        "2": ("di",),
        "4": ("ka", "di", "mi"),
        "3": ("ki", "da"),
        "6": ("va", "ki", "di", "da", "ma"),
    },
}
SYLLABLES: tuple[str, ...] = tuple(_AFTER_BEAT)


def syllables(pattern: Pattern, names: str = SYLLABLES[0]) -> tuple[str, ...]:
    """One syllable for each place of the pattern. Raises ValueError for an unknown set.

    >>> from .text import parse
    >>> syllables(parse("D- DUDU DUD D"))
    ('1', '+', '2', 'e', '+', 'a', '3', 'trip', 'let', '4')
    """
    if names not in _AFTER_BEAT:
        raise ValueError(f"{names!r} is not a set of count syllables; choose one of {', '.join(SYLLABLES)}")
    return tuple(_syllable(pattern, place, names) for place in pattern.places)


def _syllable(pattern: Pattern, place: Place, names: str) -> str:
    meter = pattern.meter
    spoken_beats = names == "ta ka di mi"
    numbered = meter.is_compound(place.beat) or (meter.is_additive and meter.denominator >= 8)
    if numbered and names == SYLLABLES[0]:
        # Eighths are numbered: through the bar in 6/8, afresh in each group of an additive meter.
        first = 1 if meter.is_additive else 1 + 3 * place.beat
        parts = 3 if meter.is_compound(place.beat) else 2
        eighth = place.number * parts
        if eighth % place.of == 0:
            return str(first + eighth // place.of)
        if place.of in (2, 2 * parts):
            return "+"
    if place.number == 0:
        return "ta" if spoken_beats else str(place.beat + 1)
    return _AFTER_BEAT[names][str(place.of)][place.number - 1]
