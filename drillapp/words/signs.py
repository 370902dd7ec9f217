"""Signs by name: what a feature is called, what it is, and the one line of advice about it."""

from __future__ import annotations

from collections.abc import Iterable

from drillapp.music.ways import NOT_STRUCK

from .language import _, marked, ngettext

TITLES: dict[str, str] = {
    "beat": marked("Beats"),
    "offbeat": marked("Offbeats"),
    "skip": marked("Skips"),
    "tie": marked("Ties"),
    "rest": marked("Rests"),
    "mute": marked("Mutes"),
    "accent": marked("Accents"),
    "sixteenth": marked("Sixteenths"),
    "triplet": marked("Triplets"),
    "compound": marked("Beats in three"),
    "swing": marked("Swing"),
    "direction": marked("Directions"),
    "meter": marked("Meters"),
    "fresh": marked("Fresh patterns"),
}
LISTED: dict[str, str] = {  # within a sentence
    "beat": marked("beats"),
    "offbeat": marked("offbeats"),
    "skip": marked("skips"),
    "tie": marked("ties"),
    "rest": marked("rests"),
    "mute": marked("mutes"),
    "accent": marked("accents"),
    "sixteenth": marked("sixteenths"),
    "triplet": marked("triplets"),
    "compound": marked("beats in three"),
    "swing": marked("swing"),
    "direction": marked("directions"),
    "meter": marked("meters"),
}
MEANINGS: dict[str, str] = {
    "beat": marked("a stroke on the number"),
    "offbeat": marked("a stroke on the +"),
    "skip": marked("a dash in letters, a gap in arrows: the hand passes by"),
    "tie": marked("a tie in the staff: the chord rings on over a beat"),
    "rest": marked("a rest in the staff: the strings are stopped"),
    "mute": marked("X: struck and muted"),
    "accent": marked("> over the stroke: a little louder"),
    "sixteenth": marked("strokes on e and a"),
    "triplet": marked("three to the beat"),
    "compound": marked("beats that divide in three, as in 6/8"),
    "swing": marked("written even, played long-short"),
    "direction": marked("a stroke against the hand's motion"),
    "meter": marked("how many beats the bar has"),
}
ADVICE: dict[str, str] = {
    "beat": marked("The numbers are the beats: the foot goes down, and so does the hand."),
    "offbeat": marked("The + lies halfway between two numbers: the foot is up, and so is the hand."),
    "skip": marked("A dash keeps the place of a stroke: the hand moves, the strings are not touched."),
    "tie": marked("The curve joins two notes into one sound: the hand passes, the strings keep ringing."),
    "rest": marked("A rest is silence: the strings are stopped until the next stroke."),
    "mute": marked("X is struck and muted: heard, short, without ring."),
    "accent": marked("The sign > asks for a little more force on the same stroke."),
    "sixteenth": marked("e and a lie halfway between the number and the +."),
    "triplet": marked("Three strokes share the beat evenly."),
    "compound": marked("The beat divides in three: count all the way through."),
    "swing": marked("Swing is written even and played long-short."),
    "direction": marked("The letter or arrow says which way, even against the swing of the hand."),
    "meter": marked("The upper figure says how many beats the bar has."),
}
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
    """A feature's name in the plural, as rows show it; itself where an older log names one unknown now."""
    return _(TITLES[feature]) if feature in TITLES else feature


def meaning(feature: str) -> str:
    """What the sign is, in a few words."""
    return _(MEANINGS[feature])


def advice(feature: str) -> str:
    """One sentence about reading the sign."""
    return _(ADVICE[feature])


def listed(features: Iterable[str]) -> str:
    """Features named within a sentence: ``ties, beats in three``."""
    return ", ".join(_(LISTED[feature]) for feature in features)


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
