"""Drill: the page on top and sounds to choose from below it, or a sound and pages to choose from."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from drillapp.drills.kinds import KINDS
from drillapp.drills.pick import PickQuestion
from drillapp.drills.tasks import Task
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.look.look import look
from drillapp.screens.questions import flow
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.questions.question import Question
from drillapp.screens.widgets.basic import Card

LETTERS = "ABCD"
SOUND = "sound"


class SoundChoice(Card):
    """A candidate to be heard: its letter, Hear, This one."""

    letter = StringProperty("")
    number = StringProperty("")
    playing = BooleanProperty(False)
    last = BooleanProperty(False)

    __events__ = ("on_hear", "on_pick")

    def on_hear(self) -> None: ...
    def on_pick(self) -> None: ...


class PageChoice(Card):
    """A candidate to be read: its letter, its page, This one."""

    letter = StringProperty("")
    number = StringProperty("")

    __events__ = ("on_pick",)

    def on_pick(self) -> None: ...


class Choices(BoxLayout):
    """Candidates in rows of ``columns``; a last row that is not full keeps its columns."""

    columns = NumericProperty(1)
    rows = NumericProperty(1)

    def show(self, widgets: Sequence[Any], columns: int) -> None:
        """Lay the candidates out afresh."""
        self.clear_widgets()
        self.columns, self.rows = columns, -(-len(widgets) // columns)
        for start in range(0, len(widgets), columns):
            row = BoxLayout(spacing=self.spacing)
            shown = widgets[start : start + columns]
            for widget in shown:
                if widget.parent is not None:
                    widget.parent.remove_widget(widget)
                row.add_widget(widget)
            for _ in range(columns - len(shown)):
                row.add_widget(Widget())
            self.add_widget(row)


class Drill(Question):
    """One question after another."""

    repeat = BooleanProperty(False)
    from_page = BooleanProperty(True)
    names = StringProperty("1 + 2 +")

    def __init__(self, app: App) -> None:
        super().__init__(app)
        # Made once: a question only changes what they show.
        self._sound_cards = tuple(self._card(SoundChoice, index) for index in range(len(LETTERS)))
        self._page_cards = tuple(self._card(PageChoice, index) for index in range(len(LETTERS)))
        self._cards: tuple[Any, ...] = ()

    def _card(self, kind: type[Card], index: int) -> Card:
        card = kind(letter=LETTERS[index], number=str(index + 1))
        card.bind(on_pick=lambda _card: self.pick(index))
        if kind is SoundChoice:
            card.bind(on_hear=lambda _card: self.hear(index))
        return card

    def enter(self, drilling: DrillState | None = None, **_given: object) -> None:
        drilling = self.take_up(drilling)
        self.names = self.app.practice.setting("counts")
        task = drilling.task
        self.from_page = drilling.kind.from_page
        self.repeat = drilling.repeat
        question: PickQuestion = task.question
        count = len(question.candidates)
        if self.from_page:
            self.ids.page.show(question.written, task.layers)
            self._cards = self._sound_cards[:count]
            for card in self._cards:
                card.last = False
        else:
            self.ids.page.show(None, ())
            self._cards = self._page_cards[:count]
            for card, candidate in zip(self._cards, question.candidates, strict=True):
                card.ids.page.names = self.names
                card.ids.page.show(candidate, task.layers)
        self.ids.choices.show(self._cards, self.columns_for(count))
        flow.prepare_next(self.app, drilling)

    def set_ahead(self, task: Task[Any]) -> None:
        if KINDS[task.drill].from_page:
            self.ids.page.ahead(task.pattern, task.layers)

    def columns_for(self, count: int) -> int:
        """How many candidates stand side by side."""
        if self.from_page:
            return count if not look.portrait or count <= 2 else 2
        return 2 if count == 4 and not look.portrait else 1

    def arrange(self) -> None:
        """Set the candidates again after the window was turned."""
        if self.task is not None:
            self.ids.choices.show(self._cards, self.columns_for(len(self._cards)))

    def hear(self, index: int = 0) -> None:
        """Play a candidate, or stop it where it is playing."""
        patterns = self.drilling.heard()
        if index >= len(patterns):
            return
        key = LETTERS[index] if self.from_page else SOUND
        if self.app.speaker.toggle(key, self.drilling.sound(patterns[index])):
            self.drilling.plays[index] += 1
            for card in self._cards if self.from_page else ():
                card.last = card.letter == key

    def pick(self, index: int | None) -> None:
        """Answer with a candidate; None is Not sure. A question is answered once."""
        if self.drilling.result is not None or (index is not None and index >= len(self._cards)):
            return
        self.app.speaker.stop()
        flow.give(self.app, self.drilling, index)

    def not_sure(self) -> None:
        self.pick(None)

    def change_repeat(self) -> None:
        self.drilling.repeat = self.repeat = not self.repeat
        self.app.speaker.stop()

    def acts(self) -> dict[str, Callable[[], object]]:
        each = range(len(self._cards))
        if self.from_page:
            hear = {LETTERS[index].lower(): partial(self.hear, index) for index in each}
        else:
            hear = {"space": partial(self.hear, 0)}
        picks = {str(index + 1): partial(self.pick, index) for index in each}
        return {**super().acts(), **hear, **picks, "r": self.change_repeat}

    def traced(self) -> dict[str, object]:
        if self.task is None:
            return {}
        written = self.task.pattern
        return {
            **super().traced(),
            "candidates": [candidate.text for candidate in self.task.question.candidates],
            "swing": None if written.swing is None else str(written.swing),
            "chord": self.task.chord,
        }

    def on_playing(self, _screen: object, playing: str) -> None:
        for card in self._cards if self.from_page else ():
            card.playing = card.letter == playing


load_kv(__file__)
