"""Expected accuracy as a range with a tick, and how it has moved: never a bare percentage; days as bars."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from kivy.graphics import (
    Color,
    Line,
    Mesh,
    Rectangle,
    SmoothEllipse,
    SmoothLine,
    SmoothRoundedRectangle,
)
from kivy.lang import Builder
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.practice.standing import Reading
from drillapp.screens.look.look import look
from drillapp.screens.widgets import basic, sign
from drillapp.screens.widgets.drawn import Add, Drawn
from drillapp.screens.widgets.focus import Focusable
from drillapp.words.signs import title
from drillapp.words.standing import untold, weak_and_figure

__all__ = [
    "DayBars",
    "Dots",
    "FeatureRow",
    "HeldChart",
    "RangeBar",
    "ReadingRow",
    "TrendChart",
    "basic",
    "sign",
]


class RangeBar(Drawn):
    """A line from none to all with a mark at the half; on it the range, and a tick at the estimate.

    ``empty`` leaves the bare line. A ``weak`` range has the mark's colour; its row says so in words too.
    ``before`` (low, middle, high), where it is given, is drawn hollow under the range.
    """

    low = NumericProperty(0.0)
    middle = NumericProperty(0.0)
    high = NumericProperty(0.0)
    empty = BooleanProperty(True)
    weak = BooleanProperty(False)
    before = ListProperty([])
    watched = ("low", "middle", "high", "empty", "weak", "before")

    def draw(self, add: Add) -> None:
        u = look.u
        left, wide = self.x + 2 * u, self.width - 4 * u
        middle = self.center_y
        add(Color(*look.second))
        add(Rectangle(pos=(left, middle - 0.6 * u), size=(wide, 1.2 * u)))
        for half in range(3):
            add(Rectangle(pos=(left + wide * half / 2 - 0.6 * u, middle - 6 * u), size=(1.2 * u, 12 * u)))
        if self.before:
            low, tick, high = self.before
            x1, x2 = left + wide * low, left + wide * high
            add(Color(*look.second))
            below = middle - 24 * u
            add(SmoothLine(rounded_rectangle=(x1, below, max(x2 - x1, 8 * u), 8 * u, 4 * u), width=1.1 * u))
            add(Rectangle(pos=(left + wide * tick - u, below - 3 * u), size=(2 * u, 14 * u)))
        if self.empty:
            return
        x1, x2 = left + wide * self.low, left + wide * self.high
        if x2 - x1 < 20 * u:  # else the tick would hide it
            centre = (x1 + x2) / 2
            x1, x2 = centre - 10 * u, centre + 10 * u
        add(Color(*(look.mark if self.weak else look.action)))
        add(
            SmoothRoundedRectangle(
                pos=(x1, middle - 9 * u), size=(x2 - x1, 18 * u), radius=[min(9 * u, (x2 - x1) / 2)]
            )
        )
        x = left + wide * self.middle
        add(Color(*look.page))
        add(Rectangle(pos=(x - 3.5 * u, middle - 9 * u), size=(7 * u, 18 * u)))
        add(Color(*look.ink))
        add(Rectangle(pos=(x - 2 * u, middle - 14 * u), size=(4 * u, 28 * u)))


class FeatureRow(Focusable, BoxLayout):
    """What a row shows of one of the practice's readings: a feature, its range, its figure.

    ``untold`` stands in place of the range where nothing can be told.
    """

    feature = StringProperty("")
    title = StringProperty("")
    reading = ListProperty([0, 0, 0])
    figure = StringProperty("")
    untold = StringProperty("")
    weak = BooleanProperty(False)
    opened = BooleanProperty(True)

    @property
    def caption(self) -> str:
        return str(self.title)

    def show(self, reading: Reading) -> None:
        """Show one of the practice's readings."""
        one = reading.expected
        self.feature, self.title = reading.feature, title(reading.feature)
        self.opened, self.weak = reading.opened, reading.weak
        self.reading = [one.low, one.middle, one.high]
        self.figure, self.untold = weak_and_figure(reading.weak, one), untold(one, reading.opened)


class ReadingRow(FeatureRow):
    """A feature's sign, its name, its range, its figure."""


class Dots(Drawn):
    """A count as dots, in rows of at most eight."""

    count = NumericProperty(0)
    watched = ("count",)

    def draw(self, add: Add) -> None:
        count, u = int(self.count), look.u
        add(Color(*look.ink))
        rows = max(1, -(-count // 8))
        size, step = 14 * u, 23 * u
        if rows > 2:
            size, step = size * 2 / rows, step * 2 / rows
        for index in range(count):
            row, column = divmod(index, 8)
            in_row = min(8, count - 8 * row)
            x = self.right - (in_row - column) * step + (step - size)
            y = self.center_y + ((rows - 1) / 2 - row) * step - size / 2
            add(SmoothEllipse(pos=(x, y), size=(size, size)))


class DayBars(Drawn):
    """A bar for each day, the highest as high as there is room; a short dash where nothing was done."""

    values = ListProperty([])
    watched = ("values",)

    def draw(self, add: Add) -> None:
        if not self.values:
            return
        u = look.u
        most = max(*self.values, 1.0)
        step = self.width / len(self.values)
        wide = min(step * 0.62, 14 * u)
        for number, value in enumerate(self.values):
            x = self.x + step * number + (step - wide) / 2
            add(Color(*(look.action if value else look.second)))
            high = max(self.height * value / most, 3 * u) if value else 2 * u
            add(Rectangle(pos=(x, self.y), size=(wide, high)))


class TrendChart(Drawn):
    """Expectations over days: a whisker for each range, a disc for each estimate, joined by a line.

    ``points``: (day, low, middle, high) in order. The ground line is none, the top line is all. ``ahead``:
    what is expected, as three such tuples: today, later without today's drill (a hollow square on a band)
    and later with it (a hollow disc on a band of its own), or nothing.
    """

    points = ListProperty([])
    ahead = ListProperty([])
    watched = ("points", "ahead")

    def draw(self, add: Add) -> None:
        u = look.u
        left, right = float(self.x + 10 * u), float(self.right - 10 * u)
        bottom, high = float(self.y + 6 * u), float(self.height - 12 * u)
        add(Color(*look.second))
        for half in range(3):
            add(Rectangle(pos=(self.x, bottom + high * half / 2 - 0.5), size=(self.width, 1.0)))
        if not self.points and not self.ahead:
            return
        days = [day for day, *_ in (*self.points, *self.ahead)]
        first, last = min(days), max(days)
        inset = float(14 * u)

        def place(day: float) -> float:
            if last == first:
                return (left + right) / 2
            share = float((day - first) / (last - first))
            return left + inset + (right - left - 2 * inset) * share

        def at(day: float, share: float) -> tuple[float, float]:
            return place(day), bottom + high * share

        if self.ahead:
            self._draw_ahead(add, at)
        disc = min(6 * u, max(2 * u, 0.4 * (right - left) / max(last - first, 1)))  # many days: smaller marks
        add(Color(*look.second))
        for day, low, _, top in self.points:
            x = place(day)
            add(Rectangle(pos=(x - disc / 6, bottom + high * low), size=(disc / 3, high * (top - low))))
            for end in (low, top):
                add(Rectangle(pos=(x - disc * 0.8, bottom + high * end - u / 2), size=(disc * 1.6, u)))
        add(Color(*look.action))
        line = [part for day, _, middle, _ in self.points for part in (place(day), bottom + high * middle)]
        if len(line) > 2:
            add(SmoothLine(points=line, width=1.6 * u, joint="round"))
        for x, y in zip(line[::2], line[1::2], strict=True):
            add(SmoothEllipse(pos=(x - disc, y - disc), size=(2 * disc, 2 * disc)))

    def _draw_ahead(self, add: Add, at: Callable[[float, float], tuple[float, float]]) -> None:
        """The bands from today to what is expected later, and a mark at the end of each."""
        u = look.u
        today, *later = self.ahead
        for drilled, (day, low, middle, top) in enumerate(later):
            colour = look.action if drilled else look.second
            edges = [*at(today[0], today[1]), *at(day, low), *at(day, top), *at(today[0], today[3])]
            add(Color(*colour[:3], 0.14))
            add(Mesh(vertices=_flat(edges), indices=[0, 1, 2, 3], mode="triangle_fan"))
            start, end = at(today[0], today[2]), at(day, middle)
            add(Color(*colour))
            add(Line(points=[*start, *end], width=1, dash_length=7, dash_offset=6))
            x, y = end[0] + (8 if drilled else -8) * u, end[1]  # side by side where they are alike
            add(Color(*look.page))
            add(SmoothEllipse(pos=(x - 6 * u, y - 6 * u), size=(12 * u, 12 * u)))
            add(Color(*colour))
            if drilled:
                add(SmoothLine(circle=(x, y, 7 * u), width=1.5 * u))
            else:
                add(SmoothLine(rectangle=(x - 6 * u, y - 6 * u, 12 * u, 12 * u), width=1.3 * u))


class HeldChart(Drawn):
    """Forecasts against what happened: a whisker and a disc for each group of forecasts, by a diagonal.

    ``bins``: (forecast, low, happened, high), all from 0 to 1; on the diagonal a forecast came true as often
    as it said.
    """

    bins = ListProperty([])
    watched = ("bins",)

    def draw(self, add: Add) -> None:
        u = look.u
        inset = 12 * u
        left, bottom = self.x + inset, self.y + inset
        wide, high = self.width - 2 * inset, self.height - 2 * inset
        add(Color(*look.second))
        for half in range(3):
            y, x = bottom + high * half / 2, left + wide * half / 2
            add(Rectangle(pos=(left, y - 0.5), size=(wide, 1)))
            add(Rectangle(pos=(x - 0.5, bottom), size=(1, high)))
        add(Line(points=[left, bottom, left + wide, bottom + high], width=1, dash_length=8, dash_offset=6))
        for forecast, low, happened, top in self.bins:
            x = left + wide * forecast
            add(Color(*look.second))
            add(Rectangle(pos=(x - u, bottom + high * low), size=(2 * u, high * (top - low))))
            for end in (low, top):
                add(Rectangle(pos=(x - 5 * u, bottom + high * end - u), size=(10 * u, 2 * u)))
            add(Color(*look.action))
            add(SmoothEllipse(pos=(x - 6 * u, bottom + high * happened - 6 * u), size=(12 * u, 12 * u)))


def _flat(edges: Sequence[float]) -> list[float]:
    """Corners as a mesh wants them: x, y and a place in a texture for each."""
    return [part for x, y in zip(edges[::2], edges[1::2], strict=True) for part in (x, y, 0.0, 0.0)]


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
