"""A feature's own sign, drawn by notation, for lists and charts.

The reader meets each feature as the mark that stands on the page: a curve for ties, a rest for rests. Units
as in ``drillapp.notation.display``: staff spaces, y up; a sign is centred in its place.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from kivy.graphics import Color, Line
from kivy.properties import BooleanProperty, StringProperty

from drillapp.music import FEATURE_TABLE
from drillapp.music.feature_table import Ink
from drillapp.notation import Beam, Curve, DisplayList, Glyph, Item, Text
from drillapp.notation import Line as Rule
from drillapp.notation.painters.kivy_painter import PagePainter
from drillapp.screens.look.look import look
from drillapp.screens.widgets.drawn import Add, Drawn
from drillapp.screens.widgets.page import page_colours


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
        return Rule(x1, y1, x2, y2, thick)
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
    items = SIGNS[feature]
    left = min(item.box[0] for item in items)
    bottom = min(item.box[1] for item in items)
    right = max(item.box[2] for item in items)
    top = max(item.box[3] for item in items)
    moved = tuple(_moved(item, -left, -bottom) for item in items)
    return DisplayList(moved, right - left, top - bottom, (), (), ())


def _moved(item: Item, dx: float, dy: float) -> Item:
    if isinstance(item, Rule):
        return replace(item, x1=item.x1 + dx, x2=item.x2 + dx, y1=item.y1 + dy, y2=item.y2 + dy)
    if isinstance(item, (Beam, Curve)):
        return replace(item, x1=item.x1 + dx, x2=item.x2 + dx, y=item.y + dy)
    return replace(item, x=item.x + dx, y=item.y + dy)


class SignView(Drawn):
    """The sign of ``feature`` in the middle of its place; "fresh" is an empty dashed frame."""

    feature = StringProperty("")
    quiet = BooleanProperty(False)
    watched = ("feature", "quiet")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._painter = PagePainter()
        self.canvas.add(self._painter.group)

    def draw(self, add: Add) -> None:
        if self.feature not in SIGNS:
            self._painter.show(None, 0, 0, 1)
            if self.feature == "fresh":
                self._dashed_frame(add)
            return
        page = sign_page(self.feature)
        space = min(8.4 * look.u, self.width / page.width, self.height * 0.94 / page.height)
        colours = page_colours()
        if self.quiet:
            colours["ink"] = look.second
        x = self.center_x - page.width * space / 2
        y = self.center_y - page.height * space / 2
        self._painter.show(page, x, y, space, colours)

    def _dashed_frame(self, add: Add) -> None:
        wide, high = 34 * look.u, 26 * look.u
        left, bottom = self.center_x - wide / 2, self.center_y - high / 2
        corners = [(left, bottom), (left + wide, bottom), (left + wide, bottom + high), (left, bottom + high)]
        add(Color(*look.ink))
        for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1], strict=True):
            pieces = 4 if y1 == y2 else 3
            for piece in range(pieces):
                a, b = (piece + 0.18) / pieces, (piece + 0.82) / pieces
                points = [x1 + (x2 - x1) * a, y1 + (y2 - y1) * a, x1 + (x2 - x1) * b, y1 + (y2 - y1) * b]
                add(Line(points=points, width=1.1 * look.u))
