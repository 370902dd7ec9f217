"""Write it down: a pattern sounds, and the learner fills a ruler of slots with what was heard."""

from __future__ import annotations

from collections.abc import Callable, Collection
from functools import partial
from typing import Any

from kivy.core.window import Window
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.drills.kinds.write_it_down import sheet_for
from drillapp.music import features_to_ask, syllables
from drillapp.music.slot_sheet import Sheet
from drillapp.music.slots import Hand
from drillapp.music.ways import ACCENTED, MUTED, SILENT
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.look.look import look
from drillapp.screens.questions import flow
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.questions.question import Question
from drillapp.screens.widgets import readings
from drillapp.screens.widgets.basic import Outlined
from drillapp.screens.widgets.slot_ruler import WAY_KEYS, SlotCell, slot_acts
from drillapp.words.language import _
from drillapp.words.slots import slots_left

__all__ = ["WriteDown", "readings"]

SOUND = "sound"
WAYS_OF = {"mute": MUTED, "accent": ACCENTED, "rest": SILENT}
LEAST_SLOT = 62


class WriteDown(Question):
    """A sheet to be filled."""

    fills_slots = True

    full = BooleanProperty(False)
    chosen = NumericProperty(0)
    left = StringProperty("")

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._choices = tuple(reversed(self.ids.choices.children))

    def enter(self, drilling: DrillState | None = None, **_given: object) -> None:
        drilling = self.take_up(drilling)
        task = drilling.task
        self.sheet: Sheet = sheet_for(task)
        self._past: list[Sheet] = []
        self.chosen = 0
        self._offer(features_to_ask(task.pattern).union(self.app.practice.met_signs()))
        self._lay_out()
        self._say_repeat()
        flow.prepare_next(self.app, drilling)

    def hear(self) -> None:
        if self.app.speaker.toggle(SOUND, self.drilling.sound(self.drilling.task.pattern)):
            self.drilling.plays[0] += 1

    def tap(self, index: int) -> None:
        """The next way to fill a slot."""
        self.chosen = index
        sheet = self.sheet.tapped(index)
        while self._closed.intersection([sheet.way(index)]):
            sheet = sheet.tapped(index)
        self._write(sheet)

    def _offer(self, known: Collection[str]) -> None:
        """Only ways of filling a slot whose signs were met, or that this sheet takes."""
        self.ids.choices.clear_widgets()
        for choice in self._choices:
            if not choice.feature or choice.feature in known:
                self.ids.choices.add_widget(choice)
        self._closed = frozenset(way for feature, way in WAYS_OF.items() if feature not in known)
        self._turns = "direction" in known

    def fill(self, way: str | None) -> None:
        """Fill the chosen slot and go on to the next."""
        self._write(self.sheet.filled(int(self.chosen), way))
        if way is not None:
            self.move(1)

    def strike(self, hand: Hand) -> None:
        """Fill the chosen slot with a stroke of this hand and go on to the next."""
        self._write(self.sheet.struck(int(self.chosen), hand))
        self.move(1)

    def turn(self) -> None:
        """The chosen stroke with the other hand's motion."""
        self._write(self.sheet.turned(int(self.chosen)))

    def move(self, by: int) -> None:
        self.chosen = min(max(int(self.chosen) + by, 0), len(self._cells) - 1)
        self._show()

    def take_back(self) -> None:
        if self._past:
            self.sheet = self._past.pop()
            self._show()

    def done(self) -> None:
        if self.full:
            self.app.speaker.stop()
            flow.give(self.app, self.drilling, self.sheet)

    def change_repeat(self) -> None:
        self.drilling.repeat = not self.drilling.repeat
        self.app.speaker.stop()
        self._say_repeat()

    def acts(self) -> dict[str, Callable[[], object]]:
        # Not those of all questions: the dash fills a slot here.
        acts = {**slot_acts(self), "backspace": self.take_out, "enter": self.done}
        for key in [key for key, way in WAY_KEYS.items() if way in self._closed]:
            del acts[key]
        if not self._turns:
            del acts["i"]
        acts |= {"n": self.not_sure, "s": self.look_up}
        if self.app.focus.current() is None:
            acts |= {"left": partial(self.move, -1), "right": partial(self.move, 1)}
        return acts

    def take_out(self) -> None:
        """Empty the chosen slot and go back to the one before."""
        self.fill(None)
        self.move(-1)

    def traced(self) -> dict[str, object]:
        return {
            **super().traced(),
            "slots": len(self._cells),
            "sheet": [self.sheet.way(index) for index in range(len(self._cells))] if self._cells else [],
            "chosen": self.chosen,
            "full": self.full,
        }

    _cells: tuple[SlotCell, ...] = ()
    _closed: frozenset[str] = frozenset()
    _turns = True

    def arrange(self) -> None:
        """Lay the ruler out again after the window was turned."""
        if self.task is not None and self._cells:
            self._lay_out()

    def _lay_out(self) -> None:
        ruler = self.sheet.ruler
        said = syllables(ruler, self.app.practice.setting("counts"))
        self._cells = tuple(
            SlotCell(
                index=place.index,
                count=said[place.index],
                strong=not place.number,
                ident=f"slot-{place.index}",
            )
            for place in ruler.places
        )
        for cell in self._cells:
            cell.bind(on_release=lambda cell: self.tap(int(cell.index)))
        lines = self.ids.lines
        lines.clear_widgets()
        room = max(4, int((Window.width - 130 * look.u) // (LEAST_SLOT * look.u)))
        for line in _lines(ruler, room):
            row = BoxLayout(spacing=6 * look.u)
            beat = None
            for place in line:
                if beat is not None and place.beat != beat:
                    row.add_widget(BoxLayout(size_hint_x=None, width=10 * look.u))
                beat = place.beat
                row.add_widget(self._cells[place.index])
            lines.add_widget(row)
        self._show()

    def _write(self, sheet: Sheet) -> None:
        if sheet != self.sheet:
            self._past.append(self.sheet)
            self.sheet = sheet
        self._show()

    def _show(self) -> None:
        for cell in self._cells:
            cell.chosen = cell.index == self.chosen
            cell.show(self.sheet)
        self.full = self.sheet.full
        empty = self.sheet.slots.count(None)
        self.left = slots_left(empty)

    def _say_repeat(self) -> None:
        self.ids.repeat.caption = _("Repeat on") if self.drilling.repeat else _("Repeat off")


def _lines(ruler: Any, room: int) -> list[list[Any]]:
    """The ruler's places in lines: whole bars where they fit, else whole beats."""
    lines: list[list[Any]] = []
    for bar in range(len(ruler.bars)):
        places = [place for place in ruler.places if place.bar == bar]
        beats: dict[int, list[Any]] = {}
        for place in places:
            beats.setdefault(place.beat, []).append(place)
        longest = max(len(one) for one in beats.values())
        lines_needed = -(-len(places) // max(room, longest))
        each = -(-len(beats) // lines_needed)
        groups = list(beats.values())
        for start in range(0, len(groups), each):
            lines.append([place for beat in groups[start : start + each] for place in beat])
    return lines


class Choice(Outlined):
    """A way to fill the chosen slot; offered once the sign ``feature`` was met."""

    feature = StringProperty("")


load_kv(__file__)
