"""The answer: what was written, what was chosen, the places that differ, and one sentence that says why."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kivy.properties import BooleanProperty, StringProperty

from drillapp.drills.kinds.picked import Picked
from drillapp.drills.pick import PickQuestion
from drillapp.music import Pattern
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.questions.drill import LETTERS
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.questions.question import Answered
from drillapp.screens.widgets import sign
from drillapp.words.answers import chosen_page, explained, pick_verdict, written_page
from drillapp.words.hands import hand_there
from drillapp.words.signs import title

__all__ = ["AnswerView", "sign"]

WRITTEN, CHOSEN, BOTH = "written", "chosen", "both"


class AnswerView(Answered):
    """Shown once the answer is on disk."""

    sentence = StringProperty("")
    moves = StringProperty("")
    sign = StringProperty("")
    sign_name = StringProperty("")
    both = BooleanProperty(False)

    _other: Pattern | None = None
    """The candidate that was chosen, where it was not the one written."""

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._written, self._chosen = self.card(WRITTEN, keeps=True), self.card(CHOSEN)

    def enter(self, drilling: DrillState | None = None, **_given: object) -> None:
        drilling = self.take_up(drilling)
        assert drilling.result is not None
        question: PickQuestion = drilling.task.question
        picked: Picked = drilling.result.graded.detail
        explanation = picked.explanation
        self.right = drilling.result.right
        self.sentence, self.moves = explained(explanation), hand_there(explanation)
        self.sign, self.sign_name = explanation.sign, title(explanation.sign)
        letter = self._written.hint = LETTERS[question.answer]
        self.verdict = pick_verdict(letter, None if picked.index is None else LETTERS[picked.index])
        places = () if self.right else explanation.places
        page = written_page(drilling.kind.from_page, letter)
        self.show_page(self._written, page, question.written, places)
        if self.right or picked.index is None:
            self._other = None
            self.hide_page(self._chosen)
        else:
            self._other, self._chosen.hint = question.candidates[picked.index], LETTERS[picked.index]
            self.show_page(self._chosen, chosen_page(LETTERS[picked.index]), self._other, places)
        self.both = self._other is not None

    def hear(self, key: str) -> None:
        pages = [(self._written, self.drilling.task.pattern)] if key != CHOSEN else []
        if key in (CHOSEN, BOTH) and self._other is not None:
            pages.append((self._chosen, self._other))
        sounds = [(self.drilling.replay(pattern), card) for card, pattern in pages]
        self.play(key, *((sound, card, sound.way) for sound, card in sounds))

    def acts(self) -> dict[str, Callable[[], object]]:
        """Each page is heard by the letter that it had in the question."""
        acts: dict[str, Callable[[], object]] = {**super().acts()}
        acts[self._written.hint.lower()] = partial(self.hear, WRITTEN)
        if self.both:
            acts |= {self._chosen.hint.lower(): partial(self.hear, CHOSEN), "h": partial(self.hear, BOTH)}
        return acts

    def traced(self) -> dict[str, object]:
        letters = {WRITTEN: self._written.hint, CHOSEN: self._chosen.hint if self.both else ""}
        return {**super().traced(), "sentence": self.sentence, "sign": self.sign, "letters": letters}


load_kv(__file__)
