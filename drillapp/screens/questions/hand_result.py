"""After Strum it and Write it down: slot by slot what was read, and timing apart from reading."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kivy.properties import BooleanProperty, StringProperty

from drillapp.drills.kinds.by_hand import SlotBySlot
from drillapp.drills.strum.placed import PlacedStroke, placed
from drillapp.drills.verdicts import TIMING
from drillapp.notation.beneath import Row
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.look.look import look
from drillapp.screens.questions.beneath_page import rows_played, rows_written
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.questions.question import Answered
from drillapp.screens.sound.sounds import Played
from drillapp.words.language import _
from drillapp.words.slots import slot_lines, timing, verdict_of_slots

PAGE, YOURS = "page", "yours"


class HandResult(Answered):
    """What was played or written, beneath the page."""

    lines = StringProperty("")
    more_lines = StringProperty("")
    timing = StringProperty("")
    unsure = BooleanProperty(False)
    again = StringProperty("")
    """What the button for playing the page again says; empty where there is none."""
    yours = StringProperty("")
    """What the button says that plays what was played or written; empty where there is nothing."""

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._page = self.card(PAGE, "Space", keeps=True)

    def enter(self, drilling: DrillState | None = None, **_given: object) -> None:
        drilling = self.take_up(drilling)
        assert drilling.result is not None
        result, by_ear = drilling.result, drilling.kind.needs_ear
        self._detail: SlotBySlot | None = result.graded.detail
        detail = self._detail or SlotBySlot(drilling.task.pattern, (), ())
        self.right, self.unsure = result.right, self._detail is None
        misread = [slot.index for slot in detail.slots if slot.verdicts - TIMING]
        self._lines = slot_lines(detail)
        self._set_lines()
        self.verdict = verdict_of_slots(None if self.unsure else len(misread), by_ear)
        self.timing = "\n".join(
            ([] if detail.played is None else [timing(detail.played)])
            + [_("Practice only, not counted.")] * (not result.counted)
        )
        practice = not by_ear and not drilling.in_check  # a check has only so many minutes
        self._strokes = self._placed(detail)
        self.show_page(
            self._page,
            _("What sounded") if by_ear else _("The page"),
            detail.page,
            misread,
            self._rows(detail),
        )
        self._differs = detail.written is not None and not self.right
        self.yours = self._hear_yours()
        slower = drilling.tempo < drilling.full_tempo
        self._again = 0 if not practice else -1 if not self.right else 1 if slower else 0
        self.again = "" if not self._again else _("Play faster") if self._again > 0 else _("Play slower")

    def _placed(self, detail: SlotBySlot) -> tuple[PlacedStroke, ...]:
        """The strokes of a take where they were played."""
        if detail.played is None:
            return ()
        drilling = self.drilling
        return placed(detail.page, drilling.tempo, detail.hits, detail.played, self._times(detail))

    def _times(self, detail: SlotBySlot) -> int:
        return 1 if detail.played is None else max(len(detail.played.rounds), 1)

    def _rows(self, detail: SlotBySlot) -> tuple[Row, ...]:
        if detail.written is not None:
            return rows_written(detail, detail.written, self.drilling.task.layers)
        return rows_played(self._strokes, self._times(detail)) if detail.played is not None else ()

    def _hear_yours(self) -> str:
        if self._detail is not None and self._detail.hits:
            return _("Hear what you played")
        return _("Hear what you wrote") if self._differs else ""

    def _set_lines(self) -> None:
        """The lines in one column, or in two where they are many and there is room beside one another."""
        half = len(self._lines) if look.portrait or len(self._lines) < 3 else -(-len(self._lines) // 2)
        self.lines, self.more_lines = "\n".join(self._lines[:half]), "\n".join(self._lines[half:])

    def hear(self, key: str) -> None:
        drilling, detail = self.drilling, self._detail
        if key == PAGE:
            sound = drilling.replay(drilling.task.pattern if detail is None else detail.page)
            self.play(PAGE, (sound, self._page, sound.way))
        elif detail is not None and detail.hits:
            played = Played.of(detail.hits, drilling.task.chord, drilling.voice)
            heard = [(max(one.hit.time, 0.0), one.slot) for one in self._strokes]
            self.play(YOURS, (played, self._page, [*heard, (float(played.length), None)]))
        elif detail is not None and detail.written is not None and self._differs:
            sound = drilling.replay(detail.written)
            self.play(YOURS, (sound, self._page, sound.way))

    def play_again(self) -> None:
        """Practise the page: slower where it was misread, faster again where it was not."""
        if self._again:
            self.drilling.again(self._again)
            self.app.go(self.drilling.kind.screen, drilling=self.drilling)

    def acts(self) -> dict[str, Callable[[], object]]:
        acts: dict[str, Callable[[], object]] = {**super().acts(), "space": partial(self.hear, PAGE)}
        if self.yours:
            acts["o"] = partial(self.hear, YOURS)
        if self.again:
            acts["g"] = self.play_again
        return acts

    def traced(self) -> dict[str, object]:
        lines = "\n".join(self._lines)
        return {**super().traced(), "lines": lines, "timing": self.timing, "again": self.again}


load_kv(__file__)
