"""A feature's own sign, drawn by notation, for lists and charts.

The reader meets each feature as the mark that stands on the page: a curve for ties, a rest for rests. Units
as in ``drillapp.notation.display``: staff spaces, y up; a sign is centred in its place.
"""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, Line
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty

from drillapp.notation import DisplayList
from drillapp.notation.own_sign import SIGNS, sign_page
from drillapp.notation.painters.kivy_painter import PagePainter
from drillapp.screens.look.look import look
from drillapp.screens.widgets.drawn import Add, Drawn
from drillapp.screens.widgets.page import page_colours


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


class SignInLayer(Drawn):
    """A sign as one layer of a page draws it: ``parts``, at ``space`` pixels to a staff space or smaller."""

    parts = ObjectProperty(None, allownone=True)
    space = NumericProperty(12)
    watched = ("parts", "space")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._painter = PagePainter()
        self.canvas.add(self._painter.group)

    def draw(self, add: Add) -> None:
        page: DisplayList | None = self.parts
        if page is None or self.width < 2 or self.height < 2:
            self._painter.show(None, 0, 0, 1)
            return
        wide, high = max(page.width, 0.1), max(page.height, 0.1)
        space = min(self.space, self.width / wide, self.height / high)
        x = self.center_x - page.width * space / 2
        y = self.center_y - page.height * space / 2
        colours = page_colours()
        self._painter.show(page, x, y, space, {**colours, "ink": look.mark, "second": look.mark})
