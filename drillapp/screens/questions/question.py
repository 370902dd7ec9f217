"""What the screens of a question have in common: its head and tempo before the answer, its pages after it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty

from drillapp.drills.lessons import features_on
from drillapp.drills.tasks import Task
from drillapp.music import Pattern
from drillapp.screens.frame.base import load_kv
from drillapp.screens.questions import flow
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.sound.sounding import Sounding
from drillapp.screens.widgets import page
from drillapp.screens.widgets.basic import Card
from drillapp.words.settings import kind_name

__all__ = ["AnswerPage", "Answered", "Question", "page"]


class OfDrilling(Sounding):
    """A screen of the running drill: which question of how many, and which of its sounds is heard."""

    heading = StringProperty("")
    number = NumericProperty(0)
    of = NumericProperty(0)

    _drilling: DrillState | None = None

    @property
    def drilling(self) -> DrillState:
        """The running drill, once the screen was shown."""
        assert self._drilling is not None
        return self._drilling

    def take_up(self, drilling: DrillState | None) -> DrillState:
        """Show the head of the question that is on."""
        assert drilling is not None  # screens of a drill are shown with it
        self._drilling = drilling
        self.heading, self.number, self.of = (
            kind_name(drilling.kind),
            drilling.task.number,
            drilling.task.of,
        )
        super().enter()
        return drilling

    def change_tempo(self, by: int) -> None:
        """Slower (-1) or faster (1)."""

    def acts(self) -> dict[str, Callable[[], object]]:
        slower, faster = partial(self.change_tempo, -1), partial(self.change_tempo, 1)
        return {"-": slower, "+": faster, "=": faster}


class Question(OfDrilling):
    """A question that waits for its answer."""

    place = StringProperty("")
    tempo = StringProperty("")

    def take_up(self, drilling: DrillState | None) -> DrillState:
        drilling = super().take_up(drilling)
        self.place = drilling.place
        self.say_tempo()
        return drilling

    @property
    def task(self) -> Task[Any] | None:
        """The question's task, None before there is one."""
        return None if self._drilling is None else self._drilling.task

    def change_tempo(self, by: int) -> None:
        self.drilling.change_tempo(by)
        self.app.speaker.stop()
        self.say_tempo()

    def not_sure(self) -> None:
        """Give no answer rather than a guess."""
        self.app.speaker.stop()
        flow.give(self.app, self.drilling, None)

    def look_up(self) -> None:
        """Show what the signs of this question mean; the answer then counts as helped."""
        self.app.speaker.stop()
        self.drilling.helped = True
        pages, layers = self.drilling.pages, self.drilling.task.layers
        self.app.over("look_up", features=features_on(pages, layers))

    def acts(self) -> dict[str, Callable[[], object]]:
        return {**super().acts(), "n": self.not_sure, "s": self.look_up}

    def say_tempo(self) -> None:
        self.tempo = f"{self.drilling.tempo:g}"

    def traced(self) -> dict[str, object]:
        if self.task is None:
            return {}
        return {"tempo": self.drilling.tempo, "playing": self.playing, **of_task(self.task)}


class AnswerPage(Card):
    """A page with what it is, and Hear."""

    caption = StringProperty("")
    key = StringProperty("")
    hint = StringProperty("")
    playing = BooleanProperty(False)

    __events__ = ("on_hear",)

    def on_hear(self) -> None: ...


class Answered(OfDrilling):
    """Shown once the answer is on disk: a page or two, what is to be said of them, and Next."""

    verdict = StringProperty("")
    right = BooleanProperty(False)
    last = BooleanProperty(False)
    tempo = StringProperty("")

    def take_up(self, drilling: DrillState | None) -> DrillState:
        drilling = super().take_up(drilling)
        self.last = drilling.over
        self._say_tempo()
        return drilling

    def hear(self, key: str) -> None:
        """Play what stands under this key, or stop it."""

    def next(self) -> None:
        flow.next_question(self.app, self.drilling)

    def acts(self) -> dict[str, Callable[[], object]]:
        return {**super().acts(), "enter": self.next}

    def change_tempo(self, by: int) -> None:
        """Hear it slower or faster; what plays goes on at the new tempo."""
        playing = self.playing
        self.drilling.change_replay(by)
        self._say_tempo()
        self.app.speaker.stop()
        if playing:
            self.hear(playing)

    def _say_tempo(self) -> None:
        self.tempo = f"{self.drilling.replay_tempo:g}"

    def card(self, key: str, hint: str) -> AnswerPage:
        """A page that ``hear`` plays under ``key``; made once and shown when it is needed."""
        card = AnswerPage(key=key, hint=hint)
        card.bind(on_hear=lambda _card: self.hear(key))
        return card

    def show_page(self, card: AnswerPage, caption: str, pattern: Pattern, places: Iterable[int]) -> None:
        card.caption = caption
        card.ids.page.names = self.app.practice.setting("counts")
        card.ids.page.show(pattern, self.drilling.task.layers, places)
        if card.parent is None:
            self.ids.pages.add_widget(card)

    def hide_page(self, card: AnswerPage) -> None:
        if card.parent is not None:
            self.ids.pages.remove_widget(card)

    def on_playing(self, _screen: object, playing: str) -> None:
        for card in self.ids.pages.children:
            card.playing = playing == card.key

    def traced(self) -> dict[str, object]:
        return {
            "number": self.number,
            "of": self.of,
            "right": self.right,
            "verdict": self.verdict,
            "tempo": self.tempo,
        }


def of_task(task: Task[Any]) -> dict[str, object]:
    """What the trace tells of a task."""
    return {"number": task.number, "of": task.of, "drill": task.drill, "meter": task.pattern.meter.text}


load_kv(__file__)
