"""Each feature's own sign, drawn: the mark that stands on the page, for lists and charts.

Units: staff spaces, y up.
"""

from __future__ import annotations

from drillapp.music import FEATURE_TABLE
from drillapp.music.feature_table import Ink
from drillapp.notation.display import Beam, Curve, DisplayList, Glyph, Item, Line, Text
from drillapp.notation.sign_parts import cropped


def _item(ink: Ink) -> Item:
    """A piece of a sign's drawing as an item of the display list."""
    if ink.shape == "glyph":
        x, y, scale = ink.numbers
        return Glyph(ink.words, x, y, scale=scale)
    if ink.shape == "text":
        x, y, size = ink.numbers
        return Text(ink.words, x, y, size)
    if ink.shape == "line":
        x1, y1, x2, y2, thick = ink.numbers
        return Line(x1, y1, x2, y2, thick)
    if ink.shape == "beam":
        x1, x2, upper, thick = ink.numbers
        return Beam(x1, x2, upper, thick)
    x1, x2, y, depth, ends, middle = ink.numbers
    return Curve(x1, x2, y, depth, ends, middle)


SIGNS: dict[str, tuple[Item, ...]] = {
    name: tuple(_item(ink) for ink in row.drawn) for name, row in FEATURE_TABLE.items()
}


def sign_page(feature: str) -> DisplayList:
    """A feature's sign as a display list with its lower left corner at the origin; KeyError for others."""
    return cropped(SIGNS[feature])
