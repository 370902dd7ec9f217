"""Signs by name: what a feature is called, and what it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from drillapp.learning import FRESH
from drillapp.music.ways import NOT_STRUCK

from .language import _, marked, ngettext


@dataclass(frozen=True, kw_only=True)
class SignWords:
    """A feature in words: ``title`` in the plural for rows, ``listed`` the same within a sentence.

    ``meaning`` says in a few words what the sign is.
    """

    title: str
    listed: str
    meaning: str


SIGNS: dict[str, SignWords] = {
    "beat": SignWords(
        title=marked("Beats"),
        listed=marked("beats"),
        meaning=marked("a stroke on the number"),
    ),
    "offbeat": SignWords(
        title=marked("Offbeats"),
        listed=marked("offbeats"),
        meaning=marked("a stroke on the +"),
    ),
    "skip": SignWords(
        title=marked("Skips"),
        listed=marked("skips"),
        meaning=marked("a dash in letters, a gap in arrows: the hand passes by"),
    ),
    "tie": SignWords(
        title=marked("Ties"),
        listed=marked("ties"),
        meaning=marked("a tie in the staff: the chord rings on over a beat"),
    ),
    "rest": SignWords(
        title=marked("Rests"),
        listed=marked("rests"),
        meaning=marked("a rest in the staff: the strings are stopped"),
    ),
    "mute": SignWords(
        title=marked("Mutes"),
        listed=marked("mutes"),
        meaning=marked("X: struck and muted"),
    ),
    "accent": SignWords(
        title=marked("Accents"),
        listed=marked("accents"),
        meaning=marked("> over the stroke: a little louder"),
    ),
    "sixteenth": SignWords(
        title=marked("Sixteenths"),
        listed=marked("sixteenths"),
        meaning=marked("strokes on e and a"),
    ),
    "triplet": SignWords(
        title=marked("Triplets"),
        listed=marked("triplets"),
        meaning=marked("three to the beat"),
    ),
    "compound": SignWords(
        title=marked("Beats in three"),
        listed=marked("beats in three"),
        meaning=marked("beats that divide in three, as in 6/8"),
    ),
    "swing": SignWords(
        title=marked("Swing"),
        listed=marked("swing"),
        meaning=marked("written even, played long-short"),
    ),
    "direction": SignWords(
        title=marked("Directions"),
        listed=marked("directions"),
        meaning=marked("a stroke against the hand's motion"),
    ),
    "meter": SignWords(
        title=marked("Meters"),
        listed=marked("meters"),
        meaning=marked("how many beats the bar has"),
    ),
}
FRESH_PATTERNS = marked("Fresh patterns")
#: what a place may be written as and read as, by the words that the practice log keeps
WAYS: dict[str, str] = {
    "struck": marked("struck"),
    "muted": marked("muted"),
    "tied on": marked("tied on"),
    "silent": marked("silent"),
    NOT_STRUCK: marked("not struck"),
    "accented": marked("accented"),
    "plain": marked("plain"),
    "here": marked("here"),
    "a slot later": marked("a slot later"),
    "down": marked("down"),
    "up": marked("up"),
    "in two": marked("in two"),
    "in three": marked("in three"),
    "even": marked("even"),
    "swung": marked("swung"),
}


def title(feature: str) -> str:
    """A feature's name in the plural, as rows show it, or that of a line of fresh patterns.

    A name that an older log holds and nobody knows now is given as it is.
    """
    if feature == FRESH:
        return _(FRESH_PATTERNS)
    return _(SIGNS[feature].title) if feature in SIGNS else feature


def meaning(feature: str) -> str:
    """What the sign is, in a few words."""
    return _(SIGNS[feature].meaning)


def listed(features: Iterable[str]) -> str:
    """Features named within a sentence: ``ties, beats in three``."""
    return ", ".join(_(SIGNS[feature].listed) for feature in features)


def way_name(way: str) -> str:
    """A way to write or read a place, by name: ``tied on``, ``3 beats``."""
    beats = beats_of(way)
    if beats is not None:
        return ngettext("%(count)d beat", "%(count)d beats", beats) % {"count": beats}
    return _(WAYS[way]) if way in WAYS else way


def beats_of(way: str) -> int | None:
    """How many beats the bar has by this way; None for a way that says something else.

    >>> beats_of("3 beats"), beats_of("in three")
    (3, None)
    """
    number, _space, rest = way.partition(" ")
    return int(number) if number.isdecimal() and rest.startswith("beat") else None
