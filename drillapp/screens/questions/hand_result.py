"""After Strum it and Write it down: slot by slot what was read, and timing apart from reading."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from functools import partial

from kivy.properties import BooleanProperty, StringProperty

from drillapp.drills import SlotResult, StrumResult, WrittenSlot, place_name
from drillapp.drills.kinds.by_hand import SlotBySlot
from drillapp.drills.verdicts import TIMING
from drillapp.practice.sitting import Result
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.questions.drill_state import DrillState
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

    def enter(self, drilling: DrillState | None = None, **_given: object) -> None:
        drilling = self.take_up(drilling)
        assert drilling.result is not None
        result, by_ear = drilling.result, drilling.kind.needs_ear
        self._detail: SlotBySlot | None = result.graded.detail
        detail = self._detail or SlotBySlot(drilling.task.pattern, (), {})
        self.right, self.unsure = result.right, self._detail is None
        misread = [slot.index for slot in detail.slots if slot.verdicts - TIMING]
        self.lines = "\n".join(_lines(detail))
        self.verdict = _verdict(result, len(misread), by_ear)
        self.timing = "\n".join(
            ([] if detail.played is None else [_timing(detail.played)]) + [PRACTICE] * (not result.counted)
        )
        practice = not by_ear and not drilling.in_check  # a check has only so many minutes
        self.show_page(self._page, "What sounded" if by_ear else "The page", detail.page, misread)
        self.has_yours = detail.written is not None and not self.right
        self.can_hear_yours = bool(detail.hits) or self.has_yours
        if detail.written is not None and self.has_yours:
            self.show_page(self._yours, "What you wrote", detail.written, misread)
        else:
            self.hide_page(self._yours)
        slower = drilling.tempo < drilling.full_tempo
        self.again = "" if not practice else SLOWER if not self.right else FASTER if slower else ""

    def hear(self, key: str) -> None:
        drilling, detail = self.drilling, self._detail
        if key == PAGE:
            self.app.speaker.toggle(PAGE, drilling.replay(drilling.task.pattern))
        elif detail is not None and detail.hits:
            played = Played.of(detail.hits, drilling.task.chord, drilling.voice)
            self.app.speaker.toggle(YOURS, played)
        elif detail is not None and detail.written is not None and self.has_yours:
            self.app.speaker.toggle(YOURS, drilling.replay(detail.written))

    def play_again(self) -> None:
        """Practise the page: slower where it was misread, faster again where it was not."""
        if self.again:
            self.drilling.again(1 if self.again == FASTER else -1)
            self.app.go(self.drilling.kind.screen, drilling=self.drilling)

    def acts(self) -> dict[str, Callable[[], object]]:
        return {
            **super().acts(),
            "w": partial(self.hear, PAGE),
            "y": partial(self.hear, YOURS),
            "s": self.play_again,
        }

    def traced(self) -> dict[str, object]:
        return {**super().traced(), "lines": self.lines, "timing": self.timing, "again": self.again}

    def on_playing(self, _screen: object, playing: str) -> None:
        super().on_playing(self, playing)
        self.ids.hear_yours.caption = "Stop" if playing == YOURS else "Hear yours"


def _verdict(result: Result, misread: int, by_ear: bool) -> str:
    if result.graded.detail is None:
        return "Here it is"
    if result.right:
        return "Everything read right"
    slots = "1 slot differs" if misread == 1 else f"{misread} slots differ"
    return f"{slots} from {'what sounded' if by_ear else 'the page'}"


def _lines(detail: SlotBySlot) -> list[str]:
    """What is said of each slot; then what went otherwise in single rounds, which does not count."""
    found = [_line(detail, slot) for slot in detail.slots if slot.verdicts]
    if detail.played is not None and len(detail.played.rounds) > 1:
        slips: Counter[str] = Counter()
        for number, slots in enumerate(detail.played.rounds):
            for slot, counts in zip(slots, detail.played.slots, strict=True):
                slips[ROUNDS[number]] += slot.misread and not counts.misread
        found += [
            f"The {time} time through {_count(slips[time], 'slot')} more went wrong; the other times decide."
            for time in ROUNDS
            if slips[time]
        ]
    return found


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def _line(detail: SlotBySlot, slot: SlotResult | WrittenSlot) -> str:
    said = [f"{word} ({words})" for word, words in detail.verdicts.items() if word in slot.verdicts]
    return f"On {place_name(detail.page, slot.index)}: " + "; ".join(said)


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
