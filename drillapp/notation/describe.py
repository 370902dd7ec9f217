"""A pattern in words, for those who hear the page read instead of seeing it."""

from __future__ import annotations

from fractions import Fraction

from drillapp.music import Pattern, swung, syllables


def describe(pattern: Pattern, names: str = "1 + 2 +") -> str:
    """The pattern stroke by stroke, in words.

    >>> from drillapp.music import parse
    >>> describe(parse("D- DU -U >XU"))
    'Meter 4/4. 1 down, 2 down, + up, 3 rings on, + up, 4 muted down accented, + up.'
    """
    said = syllables(pattern, names)
    sentences = [f"Meter {pattern.meter.text}"]
    if swung(pattern) and pattern.swing is not None:
        sentences.append(f"Swing {ratio(pattern.swing)}")
    bars: list[list[str]] = [[] for _ in pattern.bars]
    resting = False
    for place, syllable in zip(pattern.places, said, strict=True):
        slot, words = place.slot, bars[place.bar]
        if slot.action == "strike":
            how = f"{'muted ' if slot.muted else ''}{slot.hand}{' accented' if slot.accent else ''}"
            words.append(f"{syllable} {how}")
        elif slot.action == "ring" and place.number == 0:
            words.append(f"{syllable} rings on")
        elif slot.action == "rest" and (not resting or place.number == 0):
            words.append(f"{syllable} rest")
        resting = slot.action == "rest"
    for number, words in enumerate(bars, 1):
        start = f"Bar {number}: " if len(bars) > 1 else ""
        sentences.append(start + (", ".join(words) or "rings on"))
    return ". ".join(sentences) + "."


def ratio(value: Fraction) -> str:
    """A ratio as the trade writes it: ``2:1``."""
    return f"{value.numerator}:{value.denominator}"
