"""A pattern's page as a widget: as large as its place allows, repainted when that or the theme changes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Rectangle
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.widget import Widget

from drillapp.music import SYLLABLES, Pattern
from drillapp.notation import DisplayList, Item, bracket, fit
from drillapp.notation.beneath import Mark, beneath, mark_items, room
from drillapp.notation.painters.kivy_painter import PagePainter
from drillapp.screens.look.look import look

CURSOR_INK = 0.22


@lru_cache(maxsize=24)
def set_page(
    pattern: Pattern,
    layers: tuple[str, ...],
    width: int,
    height: int,
    largest: float,
    names: str,
    tempo: bool,
    below: float = 0.0,
) -> tuple[DisplayList, float]:
    """The page and its pixels to a staff space; kept, so that a page can be set ahead of its showing."""
    return fit(pattern, layers, width, height, largest=largest, names=names, tempo=tempo, beneath=below)


class PageView(Widget):
    """Shows ``pattern`` on ``layers``, centred; brackets stand under the slots in ``places``.

    ``cursor``: the slot that a mark stands behind, None for none; ``below``: pixels kept free under the page;
    ``rows``: what stands beneath each line.
    """

    pattern = ObjectProperty(None, allownone=True)
    layers = ListProperty([])
    places = ListProperty([])
    names = StringProperty(SYLLABLES[0])
    tempo = BooleanProperty(False)
    largest = NumericProperty(34.0)
    cursor = ObjectProperty(None, allownone=True)
    below = NumericProperty(0)
    rows = ObjectProperty(())

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._painter = PagePainter()
        self._mark_colour, self._mark = Color(0, 0, 0, 0), Rectangle()
        self.canvas.add(self._mark_colour)
        self.canvas.add(self._mark)
        self._drawn: tuple[DisplayList, float, float, float] | None = None
        self.canvas.add(self._painter.group)
        self._strokes, self._added = PagePainter(), list[Item]()
        self.canvas.add(self._strokes.group)
        self._redraw = Clock.create_trigger(self._draw, -1)
        for name in (
            "pattern",
            "layers",
            "places",
            "names",
            "tempo",
            "largest",
            "below",
            "rows",
            "pos",
            "size",
        ):
            self.fbind(name, self._redraw)
        look.bind(ground=self._recolour, u=self._resized)

    def show(self, pattern: Pattern | None, layers: Iterable[str], places: Iterable[int] = ()) -> None:
        """Show this pattern, all changes at once."""
        self.pattern, self.layers, self.places = pattern, list(layers), list(places)

    def ahead(self, pattern: Pattern, layers: Iterable[str]) -> None:
        """Set a page for this widget's present size, to be shown later; may be called from another thread."""
        if self.width > 20 and self.height > 20:
            set_page(pattern, *self._asked(layers))

    def space_in(self, width: float, height: float) -> float:
        """Pixels to a staff space that the page would have in a place of this size."""
        if self.pattern is None or not self.layers or min(width, height) < 20:
            return 0.0
        layers, _width, _height, *how = self._asked(self.layers)
        return set_page(self.pattern, layers, int(width), int(height), *how)[1]

    def _set(self) -> tuple[DisplayList, float]:
        assert self.pattern is not None
        return set_page(self.pattern, *self._asked(self.layers))

    def _asked(self, layers: Iterable[str]) -> tuple[Any, ...]:
        # Quantised, so that a resize in small steps does not lay out each one afresh.
        return (
            tuple(layers),
            max(int(self.width), 1),
            max(int(self.height), 1),
            round(self.largest * look.u, 2),
            self.names,
            self.tempo,
            room(self.rows),
        )

    def _draw(self, *_args: object) -> None:
        if self.pattern is None or not self.layers or self.width < 20 or self.height < 20:
            self._painter.show(None, 0, 0, 1)
            self._drawn = None
            self.on_cursor()
            self.clear_strokes()
            return
        page, space = self._set()
        if self.places:
            page = page.with_items(bracket(page, [place for place in self.places if place < len(page.slots)]))
        if self.rows:
            page = page.with_items(beneath(page, self.rows))
        x = self.x + (self.width - page.width * space) / 2
        y = self.y + self.below + (self.height - self.below - page.height * space) / 2
        self._painter.show(page, x, y, space, page_colours())
        self._drawn = page, x, y, space
        self.on_cursor()
        self._show_strokes()

    def add_stroke(self, mark: Mark) -> None:
        """Paint a stroke at its place in the first of the rows; nothing else is painted again."""
        if self._drawn is not None and self.rows:
            page, x, y, space = self._drawn
            items = mark_items(page, self.rows[0], mark)
            self._added += items
            self._strokes.add(page, items, x, y, space)

    def clear_strokes(self) -> None:
        """Take the strokes away that were added."""
        self._added.clear()
        self._show_strokes()

    def _show_strokes(self) -> None:
        if self._drawn is None:
            self._strokes.show(None, 0, 0, 1)
            return
        page, x, y, space = self._drawn
        self._strokes.show(replace(page, items=tuple(self._added)), x, y, space, page_colours())

    def on_cursor(self, *_args: object) -> None:
        """Put the mark behind its slot; the page itself is not painted again."""
        slot = self.cursor
        if self._drawn is None or slot is None or slot >= len(self._drawn[0].slots):
            self._mark_colour.a = 0
            return
        page, x, y, space = self._drawn
        left, bottom, right, top = page.slot_box(slot)
        self._mark_colour.rgba = (*look.action[:3], CURSOR_INK)
        self._mark.pos = x + left * space, y + bottom * space
        self._mark.size = (right - left) * space, (top - bottom) * space

    def _resized(self, *_args: object) -> None:
        self._redraw()

    def _recolour(self, *_args: object) -> None:
        self._painter.recolour(page_colours())
        self._strokes.recolour(page_colours())
        self.on_cursor()


def page_colours() -> dict[str, Any]:
    """The theme's colours for the roles of a display list."""
    return {"ink": look.ink, "second": look.second, "rule": look.rule, "mark": look.mark}
