"""Signs and the features that reading accuracy is kept for.

A *layer* is a way of showing the pattern; a *sign* is something to be read at one place in one shown
layer; a *feature* is its kind. One table says which layer shows which feature. Letters and arrows cannot
tell a place where the chord rings on from one where it is silent; the staff can (common practice).
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from operator import attrgetter

from .pattern import Pattern, Place
from .slots import has_hand_rule, natural_hand
from .spelling import notes

LAYERS = ("letters", "arrows", "counts", "staff", "bows")


@dataclass(frozen=True)
class Feature:
    """A kind of sign: its name, its name in the plural for reports, what it is, where it is seen."""

    name: str
    title: str
    meaning: str
    layers: tuple[str, ...]


_STROKES = ("letters", "arrows", "staff", "bows")
_TABLE = (
    Feature("beat", "Beats", "a stroke on the number", _STROKES),
    Feature("offbeat", "Offbeats", "a stroke on the +", _STROKES),
    Feature("skip", "Skips", "a dash in letters, a gap in arrows: the hand passes by", ("letters", "arrows")),
    Feature("tie", "Ties", "a tie in the staff: the chord rings on over a beat", ("staff",)),
    Feature("rest", "Rests", "a rest in the staff: the strings are stopped", ("staff",)),
    Feature("mute", "Mutes", "X: struck and muted", ("letters", "arrows", "staff")),
    Feature("accent", "Accents", "> over the stroke: a little louder", ("letters", "arrows", "staff")),
    Feature("sixteenth", "Sixteenths", "strokes on e and a", _STROKES),
    Feature("triplet", "Triplets", "three to the beat", _STROKES),
    Feature("compound", "Beats in three", "beats that divide in three, as in 6/8", _STROKES),
    Feature("swing", "Swing", "written even, played long-short", ("staff",)),
    Feature("direction", "Directions", "a stroke against the hand's motion", ("letters", "arrows", "bows")),
    Feature("meter", "Meters", "how many beats the bar has", ("staff", "counts")),
)
FEATURE_TABLE: dict[str, Feature] = {feature.name: feature for feature in _TABLE}
FEATURES: tuple[str, ...] = tuple(FEATURE_TABLE)


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
    return frozenset().union(*(_layer_signs(pattern, layer) for layer in check_layers(layers)))


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
    if place.number == 0:
        return "beat"
    compound = pattern.meter.is_compound(place.beat)
    if place.of in (3, 6):
        if not compound:
            return "triplet"
        return "compound" if place.of == 3 or place.number % 2 == 0 else "sixteenth"
    return "offbeat" if 2 * place.number == place.of else "sixteenth"


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
