"""The signs of a pattern: what is to be read in it, where, and in which shown layer.

What kinds of sign there are, and which layer shows which, stands in ``feature_table``. Letters and arrows
cannot tell a place where the chord rings on from one where it is silent; the staff can (common practice).
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from operator import attrgetter

from .feature_table import FEATURE_TABLE, LAYERS
from .pattern import Pattern, Place
from .slots import has_hand_rule, natural_hand
from .spelling import notes

USUAL_METER = "4/4"
_ENOUGH = ("letters", "staff")  # between them these layers show every feature


@dataclass(frozen=True)
class Sign:
    """A thing to be read: its feature, where it stands (quarters), and the layer that shows it."""

    feature: str
    at: Fraction
    layer: str


def check_layers(layers: Iterable[str]) -> tuple[str, ...]:
    """The layers, each once, in the order of LAYERS. Raises ValueError for an unknown or empty choice."""
    asked = (layers,) if isinstance(layers, str) else tuple(layers)
    unknown = [layer for layer in asked if layer not in LAYERS]
    if unknown or not asked:
        what = f"{unknown[0]!r} is not a layer" if unknown else "no layer is shown"
        raise ValueError(f"{what}; choose from {', '.join(LAYERS)}")
    return tuple(layer for layer in LAYERS if layer in asked)


def signs(pattern: Pattern, layers: Iterable[str]) -> tuple[Sign, ...]:
    """Every sign that the shown layers hold, by place, then layer.

    >>> from .text import parse
    >>> [(s.feature, str(s.at)) for s in signs(parse("D- DU -U DU"), ["staff"]) if s.feature == "tie"]
    [('tie', '2')]
    """
    found = [sign for layer in check_layers(layers) for sign in _layer_signs(pattern, layer)]
    return tuple(sorted(found, key=attrgetter("at")))


def look(pattern: Pattern, layers: Iterable[str]) -> Hashable:
    """What the eye gets: patterns of equal looks cannot be told apart on these layers."""
    return tuple(_layer_look(pattern, layer) for layer in check_layers(layers))


def sign_set(pattern: Pattern, layers: Iterable[str]) -> frozenset[Sign]:
    """The signs of the shown layers as a set, for comparing patterns."""
    return _sign_set(pattern, check_layers(layers))


@lru_cache(maxsize=128)
def _sign_set(pattern: Pattern, layers: tuple[str, ...]) -> frozenset[Sign]:
    return frozenset().union(*(_layer_signs(pattern, layer) for layer in layers))


@lru_cache(maxsize=1024)
def features_of(pattern: Pattern) -> frozenset[str]:
    """Every feature that some layer shows a sign of in this pattern; the staff always shows a meter.

    >>> from .text import parse
    >>> sorted(features_of(parse("D- DU D D")))
    ['beat', 'meter', 'offbeat', 'skip']
    """
    return frozenset(sign.feature for sign in signs(pattern, _ENOUGH))


@lru_cache(maxsize=1024)
def features_to_ask(pattern: Pattern) -> frozenset[str]:
    """The features to ask about in this pattern: 4/4 is where everyone starts, and no sign to ask about.

    >>> from .text import parse
    >>> sorted(features_to_ask(parse("D D D D"))), sorted(features_to_ask(parse("D D D", "3/4")))
    (['beat'], ['beat', 'meter'])
    """
    found = features_of(pattern)
    return found - {"meter"} if pattern.meter.text == USUAL_METER else found


@lru_cache(maxsize=384)
def _layer_signs(pattern: Pattern, layer: str) -> tuple[Sign, ...]:
    return tuple(_find_signs(pattern, layer))


def _find_signs(pattern: Pattern, layer: str) -> Iterator[Sign]:
    for place in pattern.places:
        for feature in _place_features(pattern, place):
            if layer in FEATURE_TABLE[feature].layers:
                yield Sign(feature, place.at, layer)
    if layer in FEATURE_TABLE["meter"].layers:
        yield Sign("meter", Fraction(0), layer)
    if layer == "staff":
        if swung(pattern):
            yield Sign("swing", Fraction(0), layer)
        for bar in notes(pattern):
            for note in bar:
                if note.stroke is None:
                    yield Sign("rest", note.at, layer)
                elif note.tied_from:
                    yield Sign("tie", note.at, layer)


def _place_features(pattern: Pattern, place: Place) -> Iterator[str]:
    slot = place.slot
    if not place.struck:
        yield "skip"
        return
    yield place_feature(pattern, place)
    if slot.muted:
        yield "mute"
    if slot.accent:
        yield "accent"
    if has_hand_rule(place.number, place.of) and slot.hand != natural_hand(place.number, place.of):
        yield "direction"


def place_feature(pattern: Pattern, place: Place) -> str:
    """The feature of a stroke at this place, by where in the beat it falls."""
    return slot_feature(place.number, place.of, pattern.meter.is_compound(place.beat))


@cache
def slot_feature(number: int, of: int, compound: bool) -> str:
    """The feature of a stroke at slot ``number`` (from 0) of a simple or compound beat of ``of`` slots."""
    if number == 0:
        return "beat"
    if of in (3, 6):
        if not compound:
            return "triplet"
        return "compound" if of == 3 or number % 2 == 0 else "sixteenth"
    return "offbeat" if 2 * number == of else "sixteenth"


def swung(pattern: Pattern) -> bool:
    """Whether swing changes how this pattern is played: it swings, and a stroke falls off the beat."""
    if pattern.swing is None:
        return False
    return any(
        place.struck and place.number and place.of in (2, 4) and not pattern.meter.is_compound(place.beat)
        for place in pattern.places
    )


@lru_cache(maxsize=384)
def _layer_look(pattern: Pattern, layer: str) -> Hashable:
    if layer == "staff":
        spelled = tuple(
            tuple(
                (
                    note.at,
                    note.value,
                    note.dots,
                    note.tuplet,
                    None
                    if note.stroke is None
                    else (note.stroke.muted, note.stroke.accent and not note.tied_from),
                    note.tied_from,
                )
                for note in bar
            )
            for bar in notes(pattern)
        )
        return pattern.meter, swung(pattern), spelled
    grid = tuple((place.at, place.beat, place.bar) for place in pattern.places)
    if layer == "counts":
        return pattern.meter, grid
    marks = tuple(
        (place.slot.hand, layer != "bows" and place.slot.muted, layer != "bows" and place.slot.accent)
        for place in pattern.places
    )
    return grid, marks
