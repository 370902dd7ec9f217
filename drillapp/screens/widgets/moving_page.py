"""A page of one line with a mark that moves along it as it sounds, and marks for strokes made beside it.

Conventions: seconds from the first beat, at the pattern's own tempo; x and y in the window's pixels.
"""

from __future__ import annotations

from bisect import bisect_right
from functools import lru_cache
from typing import Any

from kivy.graphics import Color, InstructionGroup, Rectangle, SmoothLine
from kivy.properties import ListProperty, ObjectProperty

from drillapp.music import Pattern
from drillapp.music.slots import Hand
from drillapp.notation import DisplayList
from drillapp.notation.aligned import fit_aligned
from drillapp.screens.look.look import look
from drillapp.screens.widgets.page import PageView

LEAD = 0.25
"""seconds before the first beat from which the mark shows"""


@lru_cache(maxsize=16)
def set_beside(
    pattern: Pattern,
    other: Pattern,
    layers: tuple[str, ...],
    width: int,
    height: int,
    largest: float,
    names: str,
) -> tuple[DisplayList, float]:
    """The page of a pattern at one scale with another one's, beats aligned; pixels to a staff space."""
    pages, space = fit_aligned((pattern, other), layers, width, height, largest=largest, names=names)
    return pages[0], space


class MovingPage(PageView):
    """A page that shows ``heard``, the moment that sounds (None: nothing does).

    ``beside``: the pattern of the page that stands above or below at the same scale; ``strokes``: those made
    by hand, (seconds, hand, muted), drawn in the room ``below`` the page.
    """

    heard = ObjectProperty(None, allownone=True)
    beside = ObjectProperty(None, allownone=True)
    strokes = ListProperty([])

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._line_colour, self._line = Color(0, 0, 0, 0), Rectangle()
        self._made = InstructionGroup()
        for instruction in (self._line_colour, self._line, self._made):
            self.canvas.add(instruction)
        self.fbind("beside", self._redraw)
        self.fbind("strokes", self._draw_strokes)

    def x_at(self, seconds: float) -> float:
        """Where on the page a moment stands; what is before the first beat stands left of it."""
        assert self._drawn is not None and self.pattern is not None
        page, x, _, space = self._drawn
        times = [self.pattern.seconds(place.at) for place in self.pattern.places]
        xs = [slot.x for slot in page.slots]
        times.append(self.pattern.seconds(self.pattern.length))
        xs.append(max(page.slots[-1].right, 2 * xs[-1] - xs[-2] if len(xs) > 1 else xs[-1] + 4))
        index = min(max(bisect_right(times, seconds) - 1, 0), len(xs) - 2)
        share = (seconds - times[index]) / (times[index + 1] - times[index])
        return float(x + (xs[index] + share * (xs[index + 1] - xs[index])) * space)

    def _set(self) -> tuple[DisplayList, float]:
        assert self.pattern is not None
        size = max(int(self.width), 1), max(int(self.height - self.below), 1)
        largest = round(self.largest * look.u, 2)
        return set_beside(
            self.pattern, self.beside or self.pattern, tuple(self.layers), *size, largest, self.names
        )

    def _draw(self, *_args: object) -> None:
        super()._draw()
        self.on_heard()
        self._draw_strokes()

    def on_heard(self, *_args: object) -> None:
        """Put the line where the sound is; the page itself is not painted again."""
        if self._drawn is None or self.heard is None or self.heard < -LEAD:
            self._line_colour.a = 0
            return
        page, _, y, space = self._drawn
        wide = 3 * look.u
        self._line_colour.rgba = (*look.action[:3], 0.85)
        self._line.pos = self.x_at(self.heard) - wide / 2, y + 0.4 * space
        self._line.size = wide, (page.height - 0.4) * space

    def _draw_strokes(self, *_args: object) -> None:
        self._made.clear()
        if self._drawn is None:
            return
        u, middle = look.u, self._drawn[2] - self.below / 2 + 6 * look.u
        self._made.add(Color(*look.action))
        for seconds, hand, muted in self.strokes:
            self._stroke(self.x_at(seconds), middle, hand, muted, u)

    def _stroke(self, x: float, y: float, hand: Hand, muted: bool, u: float) -> None:
        tip = y - 13 * u if hand == "down" else y + 13 * u
        tail, barb = 2 * y - tip, (9 if hand == "down" else -9) * u
        self._made.add(SmoothLine(points=[x, tail, x, tip], width=1.6 * u))
        self._made.add(
            SmoothLine(points=[x - 6 * u, tip + barb, x, tip, x + 6 * u, tip + barb], width=1.6 * u)
        )
        if muted:
            for slope in (-1, 1):
                ends = [x - 5 * u, y - slope * 5 * u, x + 5 * u, y + slope * 5 * u]
                self._made.add(SmoothLine(points=ends, width=1.6 * u))
