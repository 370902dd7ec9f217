"""What the screens of a question have in common: its head and tempo before the answer, its pages after it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty

from drillapp.screens.frame.base import load_kv
from drillapp.screens.questions.drilling import Drilling
from drillapp.screens.sound.sounding import Sounding
from drillapp.screens.widgets import page
from drillapp.screens.widgets.basic import Card

__all__ = ["AnswerPage", "Answered", "Question", "page"]


class OfDrilling(Sounding):
    """A screen of the running drill: which question of how many, and which of its sounds is heard."""

    drilling = ObjectProperty(None, allownone=True)
    heading = StringProperty("")
    number = NumericProperty(0)
    of = NumericProperty(0)

    def take_up(self, drilling: Drilling) -> None:
        """Show the head of the question that is on."""
        self.drilling = drilling
        self.heading, self.number, self.of = drilling.title, drilling.task.number, drilling.task.of
        super().enter()

    def change_tempo(self, by: int) -> None:
        """Slower (-1) or faster (1)."""

    def key(self, key: str, modifiers: list[str]) -> bool:
        if key not in ("-", "+", "="):
            return False
        self.change_tempo(-1 if key == "-" else 1)
        return True


class Question(OfDrilling):
    """A question that waits for its answer."""

    place = StringProperty("")
    tempo = StringProperty("")

    def take_up(self, drilling: Drilling) -> None:
        super().take_up(drilling)
        self.place = drilling.place
        self.say_tempo()

    @property
    def task(self) -> Any:
        """The question's task, None before there is one."""
        return self.drilling.task if self.drilling is not None else None

    def change_tempo(self, by: int) -> None:
        self.drilling.change_tempo(by)
        self.app.speaker.stop()
        self.say_tempo()

    def not_sure(self) -> None:
        """Give no answer rather than a guess."""

    def key(self, key: str, modifiers: list[str]) -> bool:
        if key != "n":
            return super().key(key, modifiers)
        self.not_sure()
        return True

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

    def take_up(self, drilling: Drilling) -> None:
        super().take_up(drilling)
        self.last = drilling.over
        self._say_tempo()

    def hear(self, key: str) -> None:
        """Play what stands under this key, or stop it."""

    def next(self) -> None:
        self.app.next_question(self.drilling)

    def key(self, key: str, modifiers: list[str]) -> bool:
        if key != "enter":
            return super().key(key, modifiers)
        self.next()
        return True

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

    def show_page(self, card: AnswerPage, caption: str, pattern: Any, places: Iterable[int]) -> None:
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


def of_task(task: Any) -> dict[str, object]:
    """What the trace tells of a task."""
    return {"number": task.number, "of": task.of, "drill": task.drill, "meter": task.pattern.meter.text}


load_kv(__file__)
