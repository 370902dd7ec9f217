"""One bar of a pattern as a ruler of slots that are filled by taps; scrolls sideways where it must."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, Protocol

from kivy.lang import Builder
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.scrollview import ScrollView

from drillapp.music import Pattern, syllables
from drillapp.music.ruler import sheet_of
from drillapp.music.slot_sheet import CYCLE, Sheet
from drillapp.music.slots import Hand
from drillapp.screens.look.look import look
from drillapp.screens.widgets import basic, sign
from drillapp.screens.widgets.focus import Focusable

__all__ = ["STROKE_KEYS", "WAY_KEYS", "SlotCell", "SlotRuler", "basic", "sign", "slot_acts"]

BEAT_GAP = 10
WAY_KEYS = {"x": CYCLE[1], "v": CYCLE[2], "-": CYCLE[3], ".": CYCLE[4]}
"""The key of each way to fill a slot, strokes aside."""
STROKE_KEYS: dict[str, Hand] = {"f": "down", "j": "up"}
"""As the usual keys that strum."""
_MARKS = {CYCLE[1]: "X", CYCLE[3]: "–"}


class FillsSlots(Protocol):
    """A screen on which slots are filled from the keyboard."""

    def fill(self, way: str) -> None: ...
    def strike(self, hand: Hand) -> None: ...
    def turn(self) -> None: ...
    def take_back(self) -> None: ...
    def hear(self) -> None: ...


def slot_acts(screen: FillsSlots) -> dict[str, Callable[[], object]]:
    """The keys of a screen that fills slots: the ways to fill one, turn its stroke, undo, hear."""
    ways = {key: partial(screen.fill, way) for key, way in WAY_KEYS.items()}
    strokes = {key: partial(screen.strike, hand) for key, hand in STROKE_KEYS.items()}
    return {**ways, **strokes, "i": screen.turn, "z": screen.take_back, "space": screen.hear}


class SlotCell(Focusable, BoxLayout):
    """One slot of the ruler: what is written in it, and its count below."""

    index = NumericProperty(0)
    mark = StringProperty("")
    over = StringProperty("")
    count = StringProperty("")
    strong = BooleanProperty(False)
    rest = BooleanProperty(False)
    chosen = BooleanProperty(False)

    @property
    def caption(self) -> str:
        return str(self.over + ("rest" if self.rest else self.mark))

    def show(self, sheet: Sheet) -> None:
        """Show what the sheet has in this slot."""
        slot, way = sheet.slots[self.index], sheet.way(self.index)
        self.rest = way == CYCLE[4]
        struck = slot is not None and slot.action == "strike"
        self.over = ">" if struck and slot.accent else ""
        hand = "" if not struck else "D" if slot.hand == "down" else "U"
        self.mark = hand if way in (CYCLE[0], CYCLE[2]) else _MARKS.get(way or "", "")


class SlotRuler(ScrollView):
    """Shows ``bar`` of a pattern; ``on_tap`` gives the slot that was tapped."""

    bar = NumericProperty(0)
    chosen = NumericProperty(0)

    __events__ = ("on_tap",)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._cells: tuple[SlotCell, ...] = ()
        self._laid: object = None

    def on_tap(self, index: int) -> None:
        """``index`` counts the slots of the whole pattern."""

    def show(self, pattern: Pattern, chosen: int, names: str) -> None:
        """Show the bar that the chosen slot is in."""
        said = syllables(pattern, names)
        self.bar = pattern.places[chosen].bar
        places = [place for place in pattern.places if place.bar == self.bar]
        laid = tuple((place.index, place.beat, place.number, said[place.index]) for place in places)
        if laid != self._laid:
            self._laid = laid
            self._lay_out(laid)
        sheet = sheet_of(pattern)
        for cell in self._cells:
            cell.chosen = cell.index == chosen
            cell.show(sheet)
            if cell.chosen and self.ids.row.width > self.width:
                self.scroll_to(cell, animate=False)
        self.chosen = chosen

    def _lay_out(self, laid: tuple[tuple[int, int, int, str], ...]) -> None:
        row = self.ids.row
        row.clear_widgets()
        cells, gaps, beat = [], 0, laid[0][1]
        for index, of_beat, number, count in laid:
            if of_beat != beat:
                row.add_widget(BoxLayout(size_hint_x=None, width=BEAT_GAP * look.u))
                beat, gaps = of_beat, gaps + 1
            cell = SlotCell(index=index, count=count, strong=not number, ident=f"slot-{index - laid[0][0]}")
            cell.bind(on_release=lambda cell: self.dispatch("on_tap", int(cell.index)))
            row.add_widget(cell)
            cells.append(cell)
        self.slots, self.gaps = len(cells), gaps
        self._cells = tuple(cells)

    slots = NumericProperty(0)
    gaps = NumericProperty(0)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
