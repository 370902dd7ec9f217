"""After Strum it and Write it down: slot by slot what was read, and timing apart from reading."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty

from drillapp.drills import place_name
from drillapp.drills.dictation import WRITTEN_VERDICTS, DictationResult
from drillapp.drills.strum import VERDICTS, StrumResult
from drillapp.screens.answer import AnswerPage
from drillapp.screens.base import Screen, load_kv
from drillapp.screens.drilling import Drilling
from drillapp.screens.sounds import Played

if TYPE_CHECKING:
    from drillapp.screens.shell import DrillApp

PAGE, YOURS = "page", "yours"
TIMING = frozenset({"early", "late"})


class HandResult(Screen):
    """What was played or written, against the page."""

    drilling = ObjectProperty(None, allownone=True)
    heading = StringProperty("")
    verdict = StringProperty("")
    lines = StringProperty("")
    timing = StringProperty("")
    number = NumericProperty(0)
    of = NumericProperty(0)
    right = BooleanProperty(False)
    unsure = BooleanProperty(False)
    last = BooleanProperty(False)
    again = BooleanProperty(False)
    has_yours = BooleanProperty(False)
    can_hear_yours = BooleanProperty(False)
    tempo = StringProperty("")

    def __init__(self, app: DrillApp) -> None:
        super().__init__(app)
        self._page, self._yours = self._card(PAGE, "W"), self._card(YOURS, "Y")

    def _card(self, key: str, hint: str) -> AnswerPage:
        card = AnswerPage(key=key, hint=hint)
        card.bind(on_hear=lambda _card: self.hear(key))
        return card

    def enter(
        self, drilling: Drilling | None = None, result: Any = None, hits: Any = (), **_: object
    ) -> None:
        assert drilling is not None
        self.drilling, self._result, self._hits = drilling, result, hits
        task, graded = drilling.task, result.graded
        self.heading, self.number, self.of = drilling.title, task.number, task.of
        self.right, self.unsure = result.right, graded is None
        self.last = drilling.over
        strummed = isinstance(graded, StrumResult)
        self.again = strummed and not self.right
        pattern = graded.ruler if isinstance(graded, DictationResult) else task.pattern
        wrong = [slot for slot in graded.slots if slot.verdicts] if graded is not None else []
        misread = [slot for slot in wrong if slot.verdicts - TIMING]
        words = VERDICTS if strummed else WRITTEN_VERDICTS
        self.lines = "\n".join(_line(pattern, slot, words) for slot in wrong)
        if graded is None:
            self.verdict = "Here it is"
        elif self.right:
            self.verdict = "Everything read right"
        else:
            count = "1 slot differs" if len(misread) == 1 else f"{len(misread)} slots differ"
            self.verdict = f"{count} from {'the page' if strummed else 'what sounded'}"
        self.timing = _timing(graded) if strummed else ""
        places = [slot.index for slot in misread]
        self._show(
            self._page, "The page" if strummed or drilling.from_page else "What sounded", pattern, places
        )
        self.has_yours = isinstance(graded, DictationResult) and not self.right
        self.can_hear_yours = bool(hits) or self.has_yours
        if self.has_yours:
            self._show(self._yours, "What you wrote", graded.written, places)
        elif self._yours.parent is not None:
            self.ids.pages.remove_widget(self._yours)
        self.tempo = f"{drilling.replay_tempo:g}"
        self.app.speaker.bind(playing=self._on_playing)

    def leave(self) -> None:
        self.app.speaker.unbind(playing=self._on_playing)
        self.app.speaker.stop()

    def hear(self, key: str) -> None:
        drilling = self.drilling
        if key == PAGE:
            self.app.speaker.toggle(PAGE, drilling.replay(drilling.task.pattern))
        elif self._hits:
            self.app.speaker.toggle(YOURS, Played.of(self._hits, drilling))
        elif self.has_yours:
            self.app.speaker.toggle(YOURS, drilling.replay(self._result.graded.written))

    def change_tempo(self, by: int) -> None:
        """Hear the page slower or faster."""
        self.app.speaker.stop()
        self.drilling.change_replay(by)
        self.tempo = f"{self.drilling.replay_tempo:g}"

    def next(self) -> None:
        self.app.next_question(self.drilling)

    def key(self, key: str, modifiers: list[str]) -> bool:
        if key == "enter":
            self.next()
        elif key in ("-", "+", "="):
            self.change_tempo(-1 if key == "-" else 1)
        elif key == "w":
            self.hear(PAGE)
        elif key == "y":
            self.hear(YOURS)
        else:
            return False
        return True

    def traced(self) -> dict[str, object]:
        return {
            "number": self.number,
            "of": self.of,
            "right": self.right,
            "verdict": self.verdict,
            "lines": self.lines,
            "timing": self.timing,
        }

    def _show(self, card: AnswerPage, caption: str, pattern: Any, places: list[int]) -> None:
        card.caption = caption
        card.ids.page.names = self.app.practice.setting("counts")
        card.ids.page.show(pattern, self.drilling.task.layers, places)
        if card.parent is None:
            self.ids.pages.add_widget(card)

    def _on_playing(self, _speaker: object, playing: str) -> None:
        self._page.playing, self._yours.playing = playing == PAGE, playing == YOURS
        self.ids.hear_yours.caption = "Stop" if playing == YOURS else "Hear yours"


def _line(pattern: Any, slot: Any, words: dict[str, str]) -> str:
    where = place_name(pattern, slot.index)
    return f"On {where}: " + "; ".join(f"{word} ({words[word]})" for word in words if word in slot.verdicts)


def _timing(graded: StrumResult) -> str:
    lead = round(graded.lead * 1000)
    said = (
        "With the click"
        if abs(lead) < 10
        else f"{abs(lead)} ms {'ahead of' if lead > 0 else 'behind'} the click"
    )
    drift = round(graded.drift * 100)
    if drift:
        said += f", {abs(drift)} % {'faster' if drift > 0 else 'slower'} than counted in"
    return said + f"; steady to {round(graded.steadiness * 1000)} ms. That is timing, not reading."


load_kv(__file__)
