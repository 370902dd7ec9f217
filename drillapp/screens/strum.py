"""Strum it: the page on top, the strings below; a count-in, the page played once, and what was read."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial
from typing import Any

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.graphics import Color, SmoothEllipse, SmoothLine
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty

from drillapp.drills.strum import Hit
from drillapp.screens.base import Screen, load_kv
from drillapp.screens.drilling import Drilling
from drillapp.screens.look import look
from drillapp.screens.polling import listen_closely
from drillapp.screens.sounds import Clicks
from drillapp.screens.widgets import page  # its rules are built on in strum.kv
from drillapp.screens.widgets.readings import Drawn
from drillapp.screens.widgets.strings import Crossing

__all__ = ["StrumIt", "page"]

TAKE = "take"
AFTER = 0.45
"""seconds that are listened for after the last slot"""
DOWN_KEYS, UP_KEYS, PALM_KEY = ("f", "down"), ("j", "up"), "space"


class CountIn(Drawn):
    """One disc a beat of the count-in; those that have sounded are filled."""

    beats = NumericProperty(4)
    done = NumericProperty(0)
    watched = ("beats", "done")

    def draw(self, add: Any) -> None:
        u = look.u
        step = min(60 * u, self.width / max(self.beats, 1))
        left = self.center_x - step * (self.beats - 1) / 2
        add(Color(*look.action))
        for index in range(int(self.beats)):
            x, y, r = left + index * step, self.center_y, 15 * u
            if index < self.done:
                add(SmoothEllipse(pos=(x - r, y - r), size=(2 * r, 2 * r)))
            else:
                add(SmoothLine(circle=(x, y, r), width=1.4 * u))


class StrumIt(Screen):
    """A page to be played on the strings."""

    drilling = ObjectProperty(None, allownone=True)
    heading = StringProperty("")
    place = StringProperty("")
    number = NumericProperty(0)
    of = NumericProperty(0)
    tempo = StringProperty("")
    words = StringProperty("")
    beats = NumericProperty(4)
    counted = NumericProperty(0)
    taking = BooleanProperty(False)
    soft_click = BooleanProperty(False)
    palm_key = BooleanProperty(False)
    notice = StringProperty("")

    def enter(self, drilling: Drilling | None = None, **_given: object) -> None:
        assert drilling is not None
        self.drilling = drilling
        task = drilling.task
        setting = self.app.practice.setting
        self.heading, self.number, self.of = drilling.title, task.number, task.of
        self.place = drilling.place
        self._place_hands(setting("hand") == "left")
        self.notice = drilling.retry_notice
        self.ids.page.names = setting("counts")
        self.ids.page.show(task.pattern, task.layers)
        self.ids.field.struck = self._struck
        self.beats = len(task.pattern.meter.beats)
        self._events: list[Any] = []
        self._hits: list[Hit] = []
        self._rest()
        self._say_tempo()
        self.app.latencies.look()
        Window.bind(on_key_up=self._key_up, focus=self._lost, on_resize=self._lost)
        self.app.prepare_next(drilling)

    def leave(self) -> None:
        self.stop()
        Window.unbind(on_key_up=self._key_up, focus=self._lost, on_resize=self._lost)

    def begin(self) -> None:
        """Count in, then listen while the page is played."""
        if self.taking:
            self.set_aside("")
            return
        task, tempo = self.drilling.task, self.drilling.tempo
        clicks = Clicks(task.pattern, tempo, self.soft_click)
        samples = self.app.speaker.sounds.samples(clicks)
        self.taking, self.counted, self._hits = True, 0, []
        self.notice = ""
        listen_closely(True)
        now = time.perf_counter()
        self.app.speaker.play_samples(TAKE, samples)
        self._zero = now + self.app.latencies.seconds + clicks.count_in_seconds
        self._first_beat = time.time() + self._zero - time.perf_counter()
        self.ids.field.listening = True
        for beat, at in enumerate(clicks.beat_times):
            self._at(now + at, partial(self._count, beat + 1))
        end = self._zero + clicks.seconds + AFTER
        self._at(end, self._finish)
        self.words = "Count-in: listen, then play from the next 1."
        self._at(self._zero - 0.05, lambda: setattr(self, "words", "Play."))

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
        self.stop()
        self.app.show_hand_result(self.drilling, self.drilling.not_sure(), ())

    def change_tempo(self, by: int) -> None:
        self.stop()
        self.drilling.change_tempo(by)
        self._say_tempo()

    def change_click(self) -> None:
        self.stop()
        self.soft_click = not self.soft_click

    def key(self, key: str, modifiers: list[str]) -> bool:
        if self.taking and key in DOWN_KEYS + UP_KEYS:
            self.ids.field.key_stroke("down" if key in DOWN_KEYS else "up", "shift" in modifiers)
        elif key == PALM_KEY and self.app.focus.current() is None:
            self.palm_key = True
        elif key == "enter":
            self.begin()
        elif key == "n":
            self.not_sure()
        elif key in ("-", "+", "="):
            self.change_tempo(-1 if key == "-" else 1)
        elif key == "k":
            self.change_click()
        else:
            return False
        return True

    def traced(self) -> dict[str, object]:
        if self.drilling is None or self.drilling.task is None:
            return {}
        task, field = self.drilling.task, self.ids.field
        x, y = field.to_window(field.x, field.y)
        return {
            "number": task.number,
            "of": task.of,
            "drill": task.drill,
            "pattern": task.pattern.text,
            "meter": task.pattern.meter.text,
            "tempo": self.drilling.tempo,
            "taking": self.taking,
            "latency": self.app.latencies.seconds if self.taking else None,
            "first_beat": self._first_beat if self.taking else None,
            "counted": self.counted,
            "notice": self.notice,
            "hits": len(self._hits),
            "field": [x, Window.height - y - field.height, x + field.width, Window.height - y],
        }

    def _place_hands(self, left_handed: bool) -> None:
        """The palm pad lies under the hand that does not strum."""
        hands, palm, strings = self.ids.hands, self.ids.palm, self.ids.strings
        order = (strings, palm) if left_handed else (palm, strings)
        hands.clear_widgets()
        for card in order:
            hands.add_widget(card)

    def _struck(self, stroke: Crossing) -> None:
        self._hits.append(Hit(stroke.time - self._zero, stroke.hand, stroke.muted, stroke.force))

    def _finish(self) -> None:
        hits = tuple(self._hits)
        self.stop()
        result = self.drilling.strummed(hits)
        if not result.kept:
            self.notice = result.graded.notice
            return
        self.app.tell(self.app.latencies.took(result.graded.lead))
        self.app.show_hand_result(self.drilling, result, hits)

    def _count(self, beat: int) -> None:
        self.counted = beat

    def _rest(self) -> None:
        listen_closely(False)
        self.taking, self.counted, self._events = False, 0, []
        self.ids.field.listening = False
        self.words = "Drag across the strings: downwards for a down-stroke, upwards for an up-stroke."
        self.palm_key = False

    def _at(self, when: float, act: Callable[[], object]) -> None:
        delay = max(0.0, when - time.perf_counter())
        self._events.append(Clock.schedule_once(lambda _dt: act(), delay))

    def _key_up(self, _window: object, code: int, *_rest: object) -> None:
        if code == 32:
            self.palm_key = False

    def _lost(self, *given: object) -> None:
        focus_kept = len(given) > 1 and given[1] is True
        if self.taking and not focus_kept:
            self.set_aside("The window changed while you played, so this take is not scored. Try it again.")

    def _say_tempo(self) -> None:
        self.tempo = f"{self.drilling.tempo:g}"


load_kv(__file__)
