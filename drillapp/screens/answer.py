"""The answer: what was written, what was chosen, the places that differ, and one sentence that says why."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty

from drillapp.screens.base import Screen, load_kv
from drillapp.screens.drill import LETTERS
from drillapp.screens.drilling import Drilling
from drillapp.screens.widgets.basic import Card

if TYPE_CHECKING:
    from drillapp.screens.shell import DrillApp

WRITTEN, CHOSEN, BOTH = "written", "chosen", "both"


class AnswerPage(Card):
    """A page with what it is, and Hear."""

    caption = StringProperty("")
    key = StringProperty("")
    hint = StringProperty("")
    playing = BooleanProperty(False)

    __events__ = ("on_hear",)

    def on_hear(self) -> None: ...


class AnswerView(Screen):
    """Shown once the answer is on disk."""

    drilling = ObjectProperty(None, allownone=True)
    heading = StringProperty("")
    verdict = StringProperty("")
    sentence = StringProperty("")
    advice = StringProperty("")
    number = NumericProperty(0)
    of = NumericProperty(0)
    both = BooleanProperty(False)
    right = BooleanProperty(False)
    last = BooleanProperty(False)
    playing = StringProperty("")
    tempo = StringProperty("")

    def __init__(self, app: DrillApp) -> None:
        super().__init__(app)
        self._written, self._chosen = self._card(WRITTEN, "W"), self._card(CHOSEN, "C")

    def _card(self, key: str, hint: str) -> AnswerPage:
        card = AnswerPage(key=key, hint=hint)
        card.bind(on_hear=lambda _card: self.hear(key))
        return card

    def _show(self, card: AnswerPage, caption: str, pattern: Any, places: tuple[int, ...]) -> None:
        card.caption = caption
        card.ids.page.names = self.app.practice.setting("counts")
        card.ids.page.show(pattern, self.drilling.task.layers, places)
        if card.parent is None:
            self.ids.pages.add_widget(card)

    def enter(self, drilling: Drilling | None = None, **_given: object) -> None:
        assert drilling is not None
        self.drilling = drilling
        task, result = drilling.task, drilling.result
        question = task.question
        self.heading, self.number, self.of = drilling.title, task.number, task.of
        self.right = result.right
        self.last = drilling.over
        self.both = result.index is not None and not result.right
        self.sentence = result.explanation.sentence
        self.advice = result.explanation.advice
        letter = LETTERS[question.answer]
        if result.right:
            self.verdict = "Right"
        elif result.index is None:
            self.verdict = f"It was {letter}"
        else:
            self.verdict = f"Not {LETTERS[result.index]}: it was {letter}"
        written = "Written" if drilling.from_page else "What you heard"
        places = () if result.right else result.explanation.places
        self._show(self._written, f"{written}, {letter}", question.written, places)
        if self.both:
            chosen = f"You chose {LETTERS[result.index]}"
            self._show(self._chosen, chosen, question.candidates[result.index], places)
        elif self._chosen.parent is not None:
            self.ids.pages.remove_widget(self._chosen)
        self.tempo = f"{drilling.replay_tempo:g}"
        self.app.speaker.bind(playing=self._on_playing)

    def leave(self) -> None:
        self.app.speaker.unbind(playing=self._on_playing)
        self.app.speaker.stop()

    def hear(self, key: str) -> None:
        question, result = self.drilling.task.question, self.drilling.result
        patterns = [question.written] if key != CHOSEN else []
        if key in (CHOSEN, BOTH) and self.both:
            patterns.append(question.candidates[result.index])
        self.app.speaker.toggle(key, *(self.drilling.replay(pattern) for pattern in patterns))

    def change_tempo(self, by: int) -> None:
        """Hear it slower or faster; what plays goes on at the new tempo."""
        playing = self.playing
        self.drilling.change_replay(by)
        self.tempo = f"{self.drilling.replay_tempo:g}"
        self.app.speaker.stop()
        if playing:
            self.hear(playing)

    def next(self) -> None:
        self.app.next_question(self.drilling)

    def key(self, key: str, modifiers: list[str]) -> bool:
        if key == "enter":
            self.next()
        elif key in ("-", "+", "="):
            self.change_tempo(-1 if key == "-" else 1)
        elif key == "w":
            self.hear(WRITTEN)
        elif key == "c" and self.both:
            self.hear(CHOSEN)
        elif key == "b" and self.both:
            self.hear(BOTH)
        else:
            return False
        return True

    def traced(self) -> dict[str, object]:
        return {
            "number": self.number,
            "of": self.of,
            "right": self.right,
            "sentence": self.sentence,
            "tempo": self.tempo,
        }

    def _on_playing(self, _speaker: object, playing: str) -> None:
        self.playing = playing
        for card in self.ids.pages.children:
            card.playing = playing == card.key


load_kv(__file__)
