"""Many signs' ranges in one row, each in a column of its own, and the head over such rows.

What is told is told by shape: a round bar, an angular and thicker one where weak, a hollow one where too
little is known, a dash where nothing was read.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.graphics import Color, Rectangle, SmoothLine, SmoothRoundedRectangle
from kivy.lang import Builder
from kivy.properties import BooleanProperty, ListProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.desk.told import NOT_READ, UNSURE, WEAK
from drillapp.screens.look.look import look
from drillapp.screens.widgets import basic, sign
from drillapp.screens.widgets.drawn import Add, Drawn
from drillapp.screens.widgets.focus import Choosable
from drillapp.words.signs import title

__all__ = ["SignHead", "SignHeads", "SignRanges", "basic", "sign"]


class SignRanges(Drawn):
    """``cells``: (state, low, middle, high) of each column."""

    cells = ListProperty([])
    watched = ("cells",)

    def draw(self, add: Add) -> None:
        if not self.cells:
            return
        step = self.width / len(self.cells)
        inset = min(10 * look.u, step * 0.1)
        for number, (state, low, middle, high) in enumerate(self.cells):
            self._cell(add, self.x + number * step + inset, step - 2 * inset, state, low, middle, high)

    def _cell(
        self, add: Add, left: float, wide: float, state: int, low: float, middle: float, high: float
    ) -> None:
        u, centre = look.u, self.center_y
        add(Color(*look.second))
        if state == NOT_READ:
            add(Rectangle(pos=(left + wide / 2 - 5 * u, centre - u), size=(10 * u, 2 * u)))
            return
        add(Rectangle(pos=(left, centre - 0.6 * u), size=(wide, 1.2 * u)))
        x1, x2 = left + wide * low, left + wide * high
        if x2 - x1 < 12 * u:
            x1, x2 = (x1 + x2) / 2 - 6 * u, (x1 + x2) / 2 + 6 * u
        if state == UNSURE:
            add(SmoothLine(rounded_rectangle=(x1, centre - 5 * u, x2 - x1, 10 * u, 5 * u), width=1.1 * u))
            return
        tall, round_ = (20 * u, 3 * u) if state == WEAK else (12 * u, 6 * u)
        add(Color(*(look.mark if state == WEAK else look.action)))
        add(SmoothRoundedRectangle(pos=(x1, centre - tall / 2), size=(x2 - x1, tall), radius=[round_]))
        x = left + wide * middle
        add(Color(*look.page))
        add(Rectangle(pos=(x - 2.6 * u, centre - 10 * u), size=(5.2 * u, 20 * u)))
        add(Color(*look.ink))
        add(Rectangle(pos=(x - 1.4 * u, centre - 11 * u), size=(2.8 * u, 22 * u)))


class SignHead(Choosable, BoxLayout):
    """A column's sign, and its name where there is room for it."""

    feature = StringProperty("")
    title = StringProperty("")
    named = BooleanProperty(True)

    @property
    def caption(self) -> str:
        return str(self.title)


class SignHeads(BoxLayout):
    """The heads of all columns; ``on_choose`` gives the sign that was pressed."""

    __events__ = ("on_choose",)

    def on_choose(self, feature: str) -> None: ...

    def show(self, signs: Any, chosen: str | None) -> None:
        """These columns, with one chosen."""
        if [one.feature for one in reversed(self.children)] != list(signs):
            self.clear_widgets()
            for feature in signs:
                one = SignHead(feature=feature, title=title(feature), ident=f"head-{feature}")
                one.bind(on_release=lambda one: self.dispatch("on_choose", one.feature))
                self.add_widget(one)
        for one in self.children:
            one.chosen = one.feature == chosen


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
