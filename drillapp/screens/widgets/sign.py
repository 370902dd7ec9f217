"""A feature's own sign, drawn by notation, for lists and charts.

The reader meets each feature as the mark that stands on the page: a curve for ties, a rest for rests. Units
as in ``drillapp.notation.display``: staff spaces, y up; a sign is centred in its place.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from kivy.graphics import Color, Line
from kivy.properties import BooleanProperty, StringProperty

from drillapp.notation import Beam, Curve, DisplayList, Glyph, Item, Text
from drillapp.notation import Line as Rule
from drillapp.notation.painters.kivy_painter import PagePainter
from drillapp.notation.smufl import metrics
from drillapp.screens.look.look import look
from drillapp.screens.widgets.drawn import Add, Drawn
from drillapp.screens.widgets.page import page_colours

SLASH, CROSS = "noteheadSlashHorizontalEnds", "noteheadXBlack"


def _beamed(beams: int) -> tuple[Item, ...]:
    right, top = metrics(SLASH).box[2], 3.6
    heads = tuple(Glyph(SLASH, x, 0.0) for x in (0.0, 2.2))
    stems = tuple(Rule(x + right - 0.07, 0.9, x + right - 0.07, top, 0.14) for x in (0.0, 2.2))
    return heads + stems + tuple(Beam(right - 0.14, right + 2.2, top - 0.75 * n, 0.5) for n in range(beams))


SIGNS: dict[str, tuple[Item, ...]] = {
    "beat": (Glyph(SLASH, 0.0, 0.0, scale=1.1), Text("1", 0.95, -3.6, 2.5)),
    "offbeat": (Glyph(SLASH, 0.0, 0.0, scale=1.1), Text("+", 0.95, -3.6, 3.0)),
    "skip": (Text("–", 0.0, 0.0, 3.4),),
    "tie": (Curve(0.0, 4.4, 0.0, 1.1, 0.12, 0.36),),
    "rest": (Glyph("rest8th", 0.0, 0.0, scale=1.15),),
    "mute": (Glyph(CROSS, 0.0, 0.0, scale=1.3),),
    "accent": (Glyph("articAccentAbove", 0.0, 0.0, scale=1.2),),
    "sixteenth": _beamed(2),
    "triplet": (
        Text("3", 1.4, 1.5, 2.2),
        Rule(0.0, 0.9, 2.8, 0.9, 0.16),
        Rule(0.08, 0.2, 0.08, 0.98, 0.16),
        Rule(2.72, 0.2, 2.72, 0.98, 0.16),
    ),
    "compound": (
        Glyph("metNoteQuarterUp", 0.0, 0.0, scale=0.9),
        Glyph("metAugmentationDot", 1.3, 0.0, scale=0.9),
    ),
    "swing": (
        Glyph("metNoteQuarterUp", 0.0, 0.0, scale=0.75),
        Glyph("metNote8thUp", 1.9, 0.0, scale=0.75),
        Text("3", 1.6, 3.0, 1.5),
    ),
    "direction": (Glyph("arrowBlackDown", 0.0, 0.0), Glyph("arrowBlackUp", 1.5, 0.0)),
    "meter": (Glyph("timeSig3", 0.0, 1.0, scale=0.85), Glyph("timeSig4", 0.0, -0.75, scale=0.85)),
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
