"""Strum it: the page on top, the strings below; a count-in, the page played, and what was read.

A take that is disturbed (the window changes or loses the focus, the sound stops) is set aside with a
sentence: nothing is scored and the same page can be played again.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import lru_cache, partial
from typing import Any

from kivy.clock import Clock
from kivy.core.text import Label as CoreLabel
from kivy.core.window import Window
from kivy.graphics import Color, Rectangle, SmoothEllipse, SmoothLine
from kivy.properties import BooleanProperty, NumericProperty, StringProperty

from drillapp.drills.kinds import Performance
from drillapp.drills.kinds.by_hand import SlotBySlot
from drillapp.drills.strum.grade import Hit, repeated
from drillapp.drills.strum.placed import place_of
from drillapp.drills.strum.take import Take
from drillapp.notation.beneath import Mark, Row
from drillapp.screens.frame.base import load_kv
from drillapp.screens.frame.polling import listen_closely
from drillapp.screens.look.look import look
from drillapp.screens.questions import flow
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.questions.question import Question
from drillapp.screens.sound.sounds import Clicks
from drillapp.screens.widgets.drawn import Drawn
from drillapp.screens.widgets.strings import Crossing
from drillapp.screens.widgets.strum_keys import key_name, read_keys
from drillapp.words.language import _
from drillapp.words.slots import disturbed, how_often, set_aside

TAKE = "take"
SOUND_ENDS = 0.5
"""seconds before the end of the clicks from which their silence is no surprise"""


@lru_cache(maxsize=32)
def _number(count: int, size: int) -> Any:
    """A number's texture, in white."""
    label = CoreLabel(text=str(count), font_name="Inter", bold=True, font_size=size)
    label.refresh()
    return label.texture


class CountIn(Drawn):
    """One disc a beat of the count-in, with its number; those that have sounded are filled, and all go."""

    beats = NumericProperty(4)
    done = NumericProperty(0)
    gone = BooleanProperty(False)
    watched = ("beats", "done", "gone")

    def draw(self, add: Any) -> None:
        if self.gone:
            return
        u = look.u
        step = min(60 * u, self.width / max(self.beats, 1))
        left = self.center_x - step * (self.beats - 1) / 2
        for index in range(int(self.beats)):
            x, y, r = left + index * step, self.center_y, min(19 * u, 0.45 * step)
            heard = index < self.done
            add(Color(*look.action))
            if heard:
                add(SmoothEllipse(pos=(x - r, y - r), size=(2 * r, 2 * r)))
            else:
                add(SmoothLine(circle=(x, y, r), width=1.4 * u))
            number = _number(index + 1, max(int(1.1 * r), 8))
            add(Color(*(look.over_action if heard else look.action)))
            add(
                Rectangle(texture=number, size=number.size, pos=(x - number.width / 2, y - number.height / 2))
            )


class StrumIt(Question):
    """A page to be played on the strings."""

    words = StringProperty("")
    beats = NumericProperty(4)
    counted = NumericProperty(0)
    taking = BooleanProperty(False)
    counting = BooleanProperty(True)
    soft_click = BooleanProperty(False)
    often = StringProperty("")
    practising = BooleanProperty(False)
    palm_key = BooleanProperty(False)
    key_hint = StringProperty("")
    notice = StringProperty("")

    _take: Take | None = None
    _round = 0
    """which time through the page the strokes that show are from"""
    _zero = 0.0
    """when the first beat is heard, on ``perf_counter``"""

    def enter(self, drilling: DrillState | None = None, **_given: object) -> None:
        drilling = self.take_up(drilling)
        setting = self.app.practice.setting
        self.practising = drilling.practising
        if self.practising:
            self.place = _("Practice only")
        self._keys = read_keys(setting("strum_keys"))
        self.key_hint = self._keys.hint
        self._place_hands(setting("hand") == "left")
        self._shows_cursor = bool(setting("cursor"))
        self.notice = ""
        self.often = how_often(drilling.times)
        self.ids.page.names = setting("counts")
        self.ids.page.rows = (Row("", (), timed=True),)
        self.ids.page.show(drilling.task.pattern, drilling.task.layers)
        self.ids.field.struck = self._struck
        self.beats = len(drilling.task.pattern.meter.beats)
        self._events: list[Any] = []
        self._held: set[str] = set()
        self._rest()
        self._listen(True)
        self.app.later(lambda: self.app.build_ahead("hand_result"))  # so that the first result need not wait
        if not self.practising:
            flow.prepare_next(self.app, drilling)

    def leave(self) -> None:
        self.stop()
        self._listen(False)
        super().leave()

    def _listen(self, on: bool) -> None:
        """Take the keys that strum, and what disturbs a take, from the window, or leave them."""
        (Window.bind if on else Window.unbind)(
            on_key_down=self._key_down, on_key_up=self._key_up, focus=self._lost, on_resize=self._lost
        )

    def pause(self) -> None:
        self.stop()
        self._listen(False)

    def keys_that_strum(self) -> str:
        return str(self.key_hint)

    def resume(self) -> None:
        self._listen(True)

    def begin(self) -> None:
        """Count in, then listen while the page is played; or stop a take that is on."""
        if self.taking:
            self.set_aside("")
            return
        drilling, task = self.drilling, self.drilling.task
        take = Take(task.pattern, drilling.tempo, task.layers, drilling.times)
        clicks = Clicks(repeated(task.pattern, drilling.times), drilling.tempo, self.soft_click)
        samples = self.app.speaker.sounds.samples(clicks)
        listen_closely(True)
        now = time.perf_counter()
        self.app.speaker.play_samples(TAKE, samples)
        self._device = self._device_now()
        self._zero = now + self.app.latencies.seconds + clicks.count_in_seconds
        self._first_beat = time.time() + self._zero - time.perf_counter()
        self.taking, self.counted, self._take = True, 0, take
        self.notice = ""
        self.ids.field.listening = True
        self.ids.page.clear_strokes()
        self._round = 0
        counted_from = self._zero - clicks.count_in_seconds  # as it is heard
        for beat, at in enumerate(clicks.beat_times):
            self._at(counted_from + at, partial(self._count, beat + 1))
        # Gone before the page begins, when no stroke is to be looked for yet.
        self._at(self._zero - (clicks.count_in_seconds - clicks.beat_times[-1]) / 2, self._counted_in)
        # Said before the page begins, since painting words takes time that strokes should be looked for in.
        self.words = _("Count-in: listen, then play from the next 1.")
        self._events.append(Clock.schedule_interval(self._watch_sound, 0.1))
        if self._shows_cursor:
            self._move_cursor(0)
        self._await_end()

    def stop(self) -> None:
        """Back to rest, whatever was going on."""
        for event in self._events:
            event.cancel()
        self.app.speaker.stop()
        self._rest()

    def set_aside(self, why: str) -> None:
        """A take that was disturbed: nothing is scored."""
        self.stop()
        self.notice = why

    def not_sure(self) -> None:
        """Not sure, in place of playing; after practice, on to the next question."""
        self.stop()
        if self.practising:
            flow.next_question(self.app, self.drilling)
        else:
            super().not_sure()

    def change_tempo(self, by: int) -> None:
        self.stop()
        super().change_tempo(by)

    def change_click(self) -> None:
        self.stop()
        self.soft_click = not self.soft_click

    def change_times(self) -> None:
        """Once through the page, twice, four times."""
        self.stop()
        self.drilling.change_times()
        self.often = how_often(self.drilling.times)

    def acts(self) -> dict[str, Callable[[], object]]:
        return {**super().acts(), "enter": self.begin, "k": self.change_click, "l": self.change_times}

    def traced(self) -> dict[str, object]:
        if self.task is None:
            return {}
        field = self.ids.field
        x, y = field.to_window(field.x, field.y)
        return {
            **super().traced(),
            "pattern": self.task.pattern.text,
            "taking": self.taking,
            "latency": self.app.latencies.seconds if self.taking else None,
            "first_beat": self._first_beat if self.taking else None,
            "counted": self.counted,
            "notice": self.notice,
            "often": self.often,
            "cursor": self.ids.page.cursor,
            "palm": field.palm,
            "counting": self.counting,
            "hits": len(self._take.hits) if self._take is not None else 0,
            "field": [x, Window.height - y - field.height, x + field.width, Window.height - y],
        }

    def _place_hands(self, left_handed: bool) -> None:
        """The palm pad lies under the hand that does not strum."""
        hands, palm, strings = self.ids.hands, self.ids.palm, self.ids.strings
        order = (strings, palm) if left_handed else (palm, strings)
        hands.clear_widgets()
        for card in order:
            hands.add_widget(card)

    def _when(self, stroke: Crossing) -> float:
        """When a stroke was made, in seconds from the first beat as it was heard."""
        return stroke.time - self._zero

    def _struck(self, stroke: Crossing) -> None:
        take = self._take
        if take is None or take.complete:
            return
        hit = Hit(self._when(stroke), stroke.hand, stroke.muted, stroke.force)
        take.add(hit)
        self._show_stroke(take, hit)
        if take.complete:  # not at once: the touch that made the stroke is still on its way
            Clock.schedule_once(self._finish_take, 0)

    def _show_stroke(self, take: Take, hit: Hit) -> None:
        """Mark the stroke on the page at once, where it fell; each time through begins with a clean row."""
        at, share = place_of((*take.due, take.seconds), hit.time)
        slots = len(take.pattern.places)
        if at // slots != self._round:
            self._round = at // slots
            self.ids.page.clear_strokes()
        self.ids.page.add_stroke(Mark(at % slots, hit.hand, share, hit.muted))

    def _finish_take(self, _dt: float) -> None:
        if self.taking:
            self._finish()

    def _finish(self) -> None:
        assert self._take is not None
        hits = tuple(self._take.hits)
        self.stop()
        if self._device_now() != self._device:  # not every library notices
            self.set_aside(disturbed("sound changed"))
            return
        graded = self.drilling.answer(Performance(hits, self.drilling.times)).graded
        if graded.set_aside is not None:
            self.notice = set_aside(graded.detail.played)
            return
        detail: SlotBySlot = graded.detail
        doubt = None if detail.played is None else self.app.latencies.took(detail.played.lead)
        if doubt is not None:
            self.app.tell(doubt)
        flow.show_answered(self.app, self.drilling)

    def _device_now(self) -> str:
        """What plays, and through what; looked up, which takes a while."""
        self.app.latencies.look()
        return str(self.app.latencies.key)

    def _await_end(self) -> None:
        """Finish when nothing more is to come: strokes put it off."""
        assert self._take is not None
        end = self._zero + self._take.until
        if time.perf_counter() < end:
            self._at(end, self._await_end)
        else:
            self._finish()

    def _count(self, beat: int) -> None:
        self.counted = beat

    def _counted_in(self) -> None:
        self.counting, self.words = False, ""

    def _move_cursor(self, number: int) -> None:
        """Mark the slot that is due, and come back for the next one."""
        assert self._take is not None
        due = self._take.due
        self.ids.page.cursor = number % len(self.drilling.task.pattern.places)
        if number + 1 < len(due):
            self._at(self._zero + due[number + 1], partial(self._move_cursor, number + 1))

    def _watch_sound(self, _dt: float) -> None:
        """A device that has gone leaves the player in the dark: no take without its clicks."""
        assert self._take is not None
        left = self._zero + self._take.seconds - time.perf_counter()
        if self.app.speaker.lost or (not self.app.speaker.playing and left > SOUND_ENDS):
            self.set_aside(disturbed("sound stopped"))

    def _rest(self) -> None:
        listen_closely(False)
        self.taking, self.counted, self._events, self._take = False, 0, [], None
        self.ids.field.listening = False
        self.ids.page.cursor = None
        self.counting = True
        self.words = _("Drag across the strings: downwards for a down-stroke, upwards for an up-stroke.")
        self._held.clear()
        self.palm_key = False

    def _at(self, when: float, act: Callable[[], object]) -> None:
        delay = max(0.0, when - time.perf_counter())
        self._events.append(Clock.schedule_once(lambda _dt: act(), delay))

    def _key_down(
        self, _window: object, code: int, _scan: int, _text: str | None, modifiers: list[str]
    ) -> bool:
        """The keys that strum; a key that is held strums once, however often it repeats."""
        key = key_name(code)
        act = self._keys.act(key)
        pressing = not self.taking and self.app.focus.current() is not None
        if act is None or pressing or {"ctrl", "alt", "meta"} & set(modifiers):
            return False
        if act in ("down", "up") and not self.taking:
            return False
        if key not in self._held:
            self._held.add(key)
            if act in ("down", "up"):
                self.ids.field.key_stroke("down" if act == "down" else "up", self._keys.accent in self._held)
        self.palm_key = self._keys.mute in self._held
        return True

    def _key_up(self, _window: object, code: int, *_rest: object) -> None:
        self._held.discard(key_name(code))
        self.palm_key = self._keys.mute in self._held

    def _lost(self, *given: object) -> None:
        focus_kept = len(given) > 1 and given[1] is True
        self._held.clear()  # a key let go in another window is not seen
        self.palm_key = False
        if self.taking and not focus_kept:
            self.set_aside(disturbed("window changed"))


load_kv(__file__)
