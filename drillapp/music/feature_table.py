"""The features that reading accuracy is kept for, each one row with all that is true of it.

A *layer* is a way of showing the pattern; a *feature* is a kind of sign, something to be read at one place in
one shown layer. Every table elsewhere that has a line for each feature is made from
these rows; only what is said of a feature to the user stands in ``words.signs``, a row each.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

LAYERS = ("letters", "arrows", "counts", "staff", "bows")

FactorKind = Literal["stroke", "accent", "shift", "hand", "division", "swing", "meter"]


@dataclass(frozen=True)
class Ink:
    """One piece of a sign's drawing, in staff spaces, y up.

    ``shape`` and ``numbers`` are the kind and the measures of an item of the display list: glyph (x, y,
    scale), text (x, y, size), line (x1, y1, x2, y2, thickness), beam (x1, x2, upper edge, thickness), curve
    (x1, x2, y, depth, thickness at the ends and in the middle). ``words``: the glyph's SMuFL name, or text.
    """

    shape: Literal["glyph", "text", "line", "beam", "curve"]
    words: str
    numbers: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class Feature:
    """A kind of sign.

    ``layers`` show it; ``builds_on`` names the features that come before it; ``weight`` is what it
    adds to difficulty; ``changed_by`` are the kinds of factor that could be about it; ``drawn`` is its own
    sign, drawn. ``basic``: every pattern is full of it. ``by_hand``, ``by_dictation``: whether playing and
    writing a page give evidence of it, or it stands on the page or the sheet already.
    """

    name: str
    layers: tuple[str, ...]
    builds_on: tuple[str, ...]
    weight: float
    changed_by: tuple[FactorKind, ...]
    drawn: tuple[Ink, ...]
    basic: bool = False
    by_hand: bool = True
    by_dictation: bool = True


def _glyph(name: str, x: float = 0.0, y: float = 0.0, scale: float = 1.0) -> Ink:
    return Ink("glyph", name, (x, y, scale))


def _text(words: str, x: float, y: float, size: float) -> Ink:
    return Ink("text", words, (x, y, size))


def _line(*numbers: float) -> Ink:
    return Ink("line", "", numbers)


_STROKES = ("letters", "arrows", "staff", "bows")
_MARKS = ("letters", "arrows", "staff")
_ONSET: tuple[FactorKind, ...] = ("stroke", "shift", "division")
_SILENCE: tuple[FactorKind, ...] = ("stroke", "shift")
_SLASH = "noteheadSlashHorizontalEnds"

_ROWS = (
    Feature(
        name="beat",
        layers=_STROKES,
        builds_on=(),
        weight=0.0,
        changed_by=_ONSET,
        drawn=(_glyph(_SLASH, scale=1.1), _text("1", 0.95, -3.6, 2.5)),
        basic=True,
    ),
    Feature(
        name="offbeat",
        layers=_STROKES,
        builds_on=("beat",),
        weight=0.05,
        changed_by=_ONSET,
        drawn=(_glyph(_SLASH, scale=1.1), _text("+", 0.95, -3.6, 3.0)),
        basic=True,
    ),
    Feature(
        name="skip",
        layers=("letters", "arrows"),
        builds_on=("beat",),
        weight=0.05,
        changed_by=_SILENCE,
        drawn=(_text("–", 0.0, 0.0, 3.4),),
        basic=True,
    ),
    Feature(
        name="tie",
        layers=("staff",),
        builds_on=("offbeat", "skip"),
        weight=0.10,
        changed_by=_SILENCE,
        drawn=(Ink("curve", "", (0.0, 4.4, 0.0, 1.1, 0.12, 0.36)),),
    ),
    Feature(
        name="rest",
        layers=("staff",),
        builds_on=("offbeat", "skip"),
        weight=0.09,
        changed_by=_SILENCE,
        drawn=(_glyph("rest8th", scale=1.15),),
    ),
    Feature(
        name="mute",
        layers=_MARKS,
        builds_on=("offbeat", "skip"),
        weight=0.07,
        changed_by=("stroke",),
        drawn=(_glyph("noteheadXBlack", scale=1.3),),
    ),
    Feature(
        name="accent",
        layers=_MARKS,
        builds_on=("offbeat", "skip"),
        weight=0.06,
        changed_by=("stroke", "accent"),
        drawn=(_glyph("articAccentAbove", scale=1.2),),
    ),
    Feature(
        name="sixteenth",
        layers=_STROKES,
        builds_on=("offbeat", "skip"),
        weight=0.11,
        changed_by=_ONSET,
        drawn=(  # two slashes, their stems on the right, two beams
            _glyph(_SLASH),
            _glyph(_SLASH, 2.2),
            _line(2.05, 0.9, 2.05, 3.6, 0.14),
            _line(4.25, 0.9, 4.25, 3.6, 0.14),
            Ink("beam", "", (1.98, 4.32, 3.6, 0.5)),
            Ink("beam", "", (1.98, 4.32, 2.85, 0.5)),
        ),
    ),
    Feature(
        name="triplet",
        layers=_STROKES,
        builds_on=("offbeat", "skip"),
        weight=0.11,
        changed_by=_ONSET,
        drawn=(
            _text("3", 1.4, 1.5, 2.2),
            _line(0.0, 0.9, 2.8, 0.9, 0.16),
            _line(0.08, 0.2, 0.08, 0.98, 0.16),
            _line(2.72, 0.2, 2.72, 0.98, 0.16),
        ),
    ),
    Feature(
        name="compound",
        layers=_STROKES,
        builds_on=("meter",),
        weight=0.08,
        changed_by=_ONSET,
        drawn=(_glyph("metNoteQuarterUp", scale=0.9), _glyph("metAugmentationDot", 1.3, scale=0.9)),
    ),
    Feature(
        name="swing",
        layers=("staff",),
        builds_on=("offbeat", "skip"),
        weight=0.07,
        changed_by=("stroke", "shift", "division", "swing"),
        drawn=(
            _glyph("metNoteQuarterUp", scale=0.75),
            _glyph("metNote8thUp", 1.9, scale=0.75),
            _text("3", 1.6, 3.0, 1.5),
        ),
        by_dictation=False,
    ),
    Feature(
        name="direction",
        layers=("letters", "arrows", "bows"),
        builds_on=("offbeat", "skip"),
        weight=0.12,
        changed_by=("stroke", "shift", "hand", "division"),
        drawn=(_glyph("arrowBlackDown"), _glyph("arrowBlackUp", 1.5)),
    ),
    Feature(
        name="meter",
        layers=("staff", "counts"),
        builds_on=("offbeat", "skip"),
        weight=0.0,
        changed_by=("meter",),
        drawn=(_glyph("timeSig3", 0.0, 1.0, 0.85), _glyph("timeSig4", 0.0, -0.75, 0.85)),
        by_hand=False,
        by_dictation=False,
    ),
)
FEATURE_TABLE: dict[str, Feature] = {feature.name: feature for feature in _ROWS}
FEATURES: tuple[str, ...] = tuple(FEATURE_TABLE)
