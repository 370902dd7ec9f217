"""After Strum it and Write it down: slot by slot what was read, and timing apart from reading."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kivy.properties import BooleanProperty, StringProperty

from drillapp.drills.kinds.by_hand import SlotBySlot
from drillapp.drills.verdicts import TIMING
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.questions.question import Answered
from drillapp.screens.sound.sounds import Played
from drillapp.words.language import _
from drillapp.words.slots import slot_lines, timing, verdict_of_slots

PAGE, YOURS = "page", "yours"


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
        detail = self._detail or SlotBySlot(drilling.task.pattern, (), ())
        self.right, self.unsure = result.right, self._detail is None
        misread = [slot.index for slot in detail.slots if slot.verdicts - TIMING]
        self.lines = "\n".join(slot_lines(detail))
        self.verdict = verdict_of_slots(None if self.unsure else len(misread), by_ear)
        self.timing = "\n".join(
            ([] if detail.played is None else [timing(detail.played)])
            + [_("Practice only, not counted.")] * (not result.counted)
        )
        practice = not by_ear and not drilling.in_check  # a check has only so many minutes
        self.show_page(self._page, _("What sounded") if by_ear else _("The page"), detail.page, misread)
        self.has_yours = detail.written is not None and not self.right
        self.can_hear_yours = bool(detail.hits) or self.has_yours
        if detail.written is not None and self.has_yours:
            self.show_page(self._yours, _("What you wrote"), detail.written, misread)
        else:
            self.hide_page(self._yours)
        slower = drilling.tempo < drilling.full_tempo
        self._again = 0 if not practice else -1 if not self.right else 1 if slower else 0
        self.again = "" if not self._again else _("Play faster") if self._again > 0 else _("Play slower")

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
        if self._again:
            self.drilling.again(self._again)
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
        self.ids.hear_yours.caption = _("Stop") if playing == YOURS else _("Hear yours")


load_kv(__file__)
