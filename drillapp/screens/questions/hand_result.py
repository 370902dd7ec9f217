"""After Strum it and Write it down: slot by slot what was read, and timing apart from reading."""

from __future__ import annotations

from collections import Counter
from typing import Any

from kivy.properties import BooleanProperty, StringProperty

from drillapp.drills import place_name
from drillapp.drills.dictation import WRITTEN_VERDICTS, DictationResult
from drillapp.drills.strum.grade import StrumResult
from drillapp.drills.verdicts import TIMING, VERDICTS
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.questions.drilling import STRUM_IT, Drilling
from drillapp.screens.questions.question import Answered
from drillapp.screens.sound.sounds import Played

PAGE, YOURS = "page", "yours"
ROUNDS = ("first", "second", "third", "fourth")
SLOWER, FASTER = "Play slower", "Play faster"
PRACTICE = "Practice only, not counted."


class HandResult(Answered):
    """What was played or written, against the page."""

    lines = StringProperty("")
    timing = StringProperty("")
    unsure = BooleanProperty(False)
    again = StringProperty("")
    """What the button for playing the page again says; empty where there is none."""
    has_yours = BooleanProperty(False)
    can_hear_yours = BooleanProperty(False)

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._page, self._yours = self.card(PAGE, "W"), self.card(YOURS, "Y")

    def enter(
        self, drilling: Drilling | None = None, result: Any = None, hits: Any = (), **_: object
    ) -> None:
        assert drilling is not None
        self.take_up(drilling)
        self._result, self._hits = result, hits
        graded = result.graded
        self.right, self.unsure = result.right, graded is None
        written = isinstance(graded, DictationResult)
        pattern = graded.ruler if written else drilling.task.pattern
        slots = graded.slots if graded is not None else ()
        misread = [slot.index for slot in slots if slot.verdicts - TIMING]
        self.lines = "\n".join(_lines(pattern, graded))
        self.verdict = _verdict(result, len(misread))
        self.timing = "\n".join(
            ([_timing(graded)] if isinstance(graded, StrumResult) else []) + [PRACTICE] * (not result.counted)
        )
        by_ear = drilling.task.drill != STRUM_IT
        practice = not by_ear and drilling.session.check is None  # a check has only so many minutes
        self.show_page(self._page, "What sounded" if by_ear else "The page", pattern, misread)
        self.has_yours = written and not self.right
        self.can_hear_yours = bool(hits) or self.has_yours
        if self.has_yours:
            self.show_page(self._yours, "What you wrote", graded.written, misread)
        else:
            self.hide_page(self._yours)
        slower = drilling.tempo < drilling.full_tempo
        self.again = "" if not practice else SLOWER if not self.right else FASTER if slower else ""

    def hear(self, key: str) -> None:
        drilling = self.drilling
        if key == PAGE:
            self.app.speaker.toggle(PAGE, drilling.replay(drilling.task.pattern))
        elif self._hits:
            self.app.speaker.toggle(YOURS, Played.of(self._hits, drilling.task.chord, drilling.voice))
        elif self.has_yours:
            self.app.speaker.toggle(YOURS, drilling.replay(self._result.graded.written))

    def play_again(self) -> None:
        """Practise the page: slower where it was misread, faster again where it was not."""
        if self.again:
            self.drilling.again(1 if self.again == FASTER else -1)
            self.app.go("strum", drilling=self.drilling)

    def key(self, key: str, modifiers: list[str]) -> bool:
        if key == "w":
            self.hear(PAGE)
        elif key == "y":
            self.hear(YOURS)
        elif key == "s":
            self.play_again()
        else:
            return super().key(key, modifiers)
        return True

    def traced(self) -> dict[str, object]:
        return {**super().traced(), "lines": self.lines, "timing": self.timing, "again": self.again}

    def on_playing(self, _screen: object, playing: str) -> None:
        super().on_playing(self, playing)
        self.ids.hear_yours.caption = "Stop" if playing == YOURS else "Hear yours"


def _verdict(result: Any, misread: int) -> str:
    if result.graded is None:
        return "Here it is"
    if result.right:
        return "Everything read right"
    slots = "1 slot differs" if misread == 1 else f"{misread} slots differ"
    return f"{slots} from {'what sounded' if isinstance(result.graded, DictationResult) else 'the page'}"


def _lines(pattern: Any, graded: Any) -> list[str]:
    """What is said of each slot; then what went otherwise in single rounds, which does not count."""
    if graded is None:
        return []
    words = WRITTEN_VERDICTS if isinstance(graded, DictationResult) else VERDICTS
    found = [_line(pattern, slot, words) for slot in graded.slots if slot.verdicts]
    if isinstance(graded, StrumResult) and len(graded.rounds) > 1:
        slips: Counter[str] = Counter()
        for number, slots in enumerate(graded.rounds):
            for slot, counts in zip(slots, graded.slots, strict=True):
                slips[ROUNDS[number]] += slot.misread and not counts.misread
        found += [
            f"The {time} time through {_count(slips[time], 'slot')} more went wrong; the other times decide."
            for time in ROUNDS
            if slips[time]
        ]
    return found


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


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
