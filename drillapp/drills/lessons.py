"""Lessons: the bar that shows a sign before it is first asked, and the same bar without it.

Conventions: patterns are texts of one bar, as in ``drillapp.music``; tempo in beats a minute, slow enough to
follow with the eye. A sign that stands or falls with a stroke, as a dash does, changes what else is to be
seen at its own place and nowhere else: `beside` says which signs those are.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from drillapp.music import FEATURE_TABLE, LAYERS, Pattern, Sign, parse
from drillapp.music.features import features_to_ask
from drillapp.music.ways import changed, in_table_order

_PLACES = frozenset({"beat", "offbeat", "skip"})
"""What says of a place only whether it is struck or passed by."""
_USUAL = ("letters", "counts", "staff")


@dataclass(frozen=True)
class Lesson:
    """The pair of bars for a feature: ``with_text`` holds its sign, ``without_text`` does not.

    ``meter``, ``tempo`` and ``swing`` are those of the first; the second is even, in ``without_meter`` where
    that is another. ``layers``: what shows the sign where the learner's own layers do not.
    """

    feature: str
    with_text: str
    without_text: str
    meter: str = "4/4"
    tempo: int = 66
    swing: Fraction | None = None
    layers: tuple[str, ...] = _USUAL
    without_meter: str = ""

    @property
    def shown(self) -> Pattern:
        """The bar with the sign."""
        return _parsed(self.with_text, self.meter, self.tempo, self.swing)

    @property
    def plain(self) -> Pattern:
        """The bar without it."""
        return _parsed(self.without_text, self.without_meter or self.meter, self.tempo, None)

    def layers_beside(self, own: Iterable[str]) -> tuple[str, ...]:
        """The learner's ``own`` layers with counts, and this lesson's where none of them shows the sign."""
        wanted = {*own, "counts"}
        if not set(own) & set(FEATURE_TABLE[self.feature].layers):
            wanted |= set(self.layers)
        return tuple(layer for layer in LAYERS if layer in wanted)

    def places(self, layers: Iterable[str]) -> tuple[int, ...]:
        """Slots of the bar with the sign in which it differs from the one without."""
        bar = self.shown
        if self.feature == "swing":  # written once, over the bar: what it moves is between the beats
            return tuple(place.index for place in bar.places if place.struck and place.number)
        if self.feature == "meter":
            return ()
        at = {sign.at for sign in changed(bar, self.plain, layers) if sign.feature == self.feature}
        return tuple(place.index for place in bar.places if place.at in at)


def beside(lesson: Lesson, layers: Iterable[str]) -> frozenset[Sign]:
    """The signs but its own in which the two bars of a lesson differ on these layers.

    They are only those that say whether a place is struck, in the beats where the sign itself changes.

    >>> sorted({sign.feature for sign in beside(LESSONS["tie"], ["letters", "staff"])})
    ['beat', 'skip']
    """
    return frozenset(
        sign for sign in changed(lesson.shown, lesson.plain, layers) if sign.feature != lesson.feature
    )


def features_on(patterns: Iterable[Pattern], layers: Iterable[str]) -> tuple[str, ...]:
    """The features that have a sign to be read in these patterns on these layers, in table order."""
    shown = set(layers)
    return in_table_order(
        feature
        for pattern in patterns
        for feature in features_to_ask(pattern)
        if shown & set(FEATURE_TABLE[feature].layers)
    )


def to_meet(
    patterns: Iterable[Pattern], layers: Iterable[str], met: Iterable[str], asked: Iterable[str] = ()
) -> tuple[str, ...]:
    """The features with a sign on these pages, or asked, that were not met, in the order to meet them.

    What is asked need not stand on the page that is seen: it may be in what is heard beside it.
    """
    known = set(met)
    wanted = in_table_order((*features_on(patterns, layers), *asked))
    return tuple(feature for feature in wanted if feature not in known)


@lru_cache(maxsize=64)
def _parsed(text: str, meter: str, tempo: int, swing: Fraction | None) -> Pattern:
    return parse(text, meter, tempo, swing)


_ROWS = (
    Lesson("beat", "D D D D", "D D D -"),
    Lesson("offbeat", "D DU D D", "D D D D"),
    Lesson("skip", "D - D D", "D D D D"),
    Lesson("tie", "D- DU -U DU", "D- DU DU DU"),
    Lesson("rest", "D . D D", "D - D D"),
    Lesson("mute", "D X D X", "D D D D"),
    Lesson("accent", "D >D D >D", "D D D D"),
    Lesson("sixteenth", "D-D- DUDU D-D- D---", "D-D- D-D- D-D- D---", tempo=60),
    Lesson("triplet", "D DUD D D", "D DU D D", tempo=60),
    Lesson("compound", "DUD DUD", "D-- D--", "6/8", tempo=60),
    Lesson("swing", "DU DU DU D", "DU DU DU D", tempo=72, swing=Fraction(2)),
    Lesson("direction", "D- DD D- D-", "D- DU D- D-", layers=("letters", "arrows", "counts")),
    Lesson("meter", "D D D", "D D D D", "3/4", without_meter="4/4"),
)
LESSONS: dict[str, Lesson] = {lesson.feature: lesson for lesson in _ROWS}
"""A lesson for each feature, in table order."""
