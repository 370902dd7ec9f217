"""The answer: what was written, what was chosen, the places that differ, and one sentence that says why."""

from __future__ import annotations

from kivy.properties import BooleanProperty, StringProperty

from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.questions.drill import LETTERS
from drillapp.screens.questions.drilling import Drilling
from drillapp.screens.questions.question import Answered

WRITTEN, CHOSEN, BOTH = "written", "chosen", "both"


class AnswerView(Answered):
    """Shown once the answer is on disk."""

    sentence = StringProperty("")
    advice = StringProperty("")
    both = BooleanProperty(False)

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._written, self._chosen = self.card(WRITTEN, "W"), self.card(CHOSEN, "C")

    def enter(self, drilling: Drilling | None = None, **_given: object) -> None:
        assert drilling is not None
        self.take_up(drilling)
        question, result = drilling.task.question, drilling.result
        self.right = result.right
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
        self.show_page(self._written, f"{written}, {letter}", question.written, places)
        if self.both:
            chosen = f"You chose {LETTERS[result.index]}"
            self.show_page(self._chosen, chosen, question.candidates[result.index], places)
        else:
            self.hide_page(self._chosen)

    def hear(self, key: str) -> None:
        question, result = self.drilling.task.question, self.drilling.result
        patterns = [question.written] if key != CHOSEN else []
        if key in (CHOSEN, BOTH) and self.both:
            patterns.append(question.candidates[result.index])
        self.app.speaker.toggle(key, *(self.drilling.replay(pattern) for pattern in patterns))

    def key(self, key: str, modifiers: list[str]) -> bool:
        if key == "w":
            self.hear(WRITTEN)
        elif key == "c" and self.both:
            self.hear(CHOSEN)
        elif key == "b" and self.both:
            self.hear(BOTH)
        else:
            return super().key(key, modifiers)
        return True

    def traced(self) -> dict[str, object]:
        return {**super().traced(), "sentence": self.sentence}


load_kv(__file__)
