"""Latency: the learner taps along with clicks, and sees how late the taps come; kept for this device."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import date
from typing import Any

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty

from drillapp.screens.frame.base import load_kv
from drillapp.screens.frame.polling import listen_closely
from drillapp.screens.sound.sounding import WithVolume
from drillapp.screens.widgets.basic import Card
from drillapp.sound import Calibration, calibrate, calibration_clicks
from drillapp.words import latency as said

TAPS = "taps"
TAP_KEYS = ("space", "f", "j", "up", "down")
AFTER = 0.7
"""seconds that are listened for after the last click"""


class TapField(Card):
    """The field to tap on: calls ``tapped`` at each touch that begins on it."""

    taps = NumericProperty(0)
    taking = BooleanProperty(False)
    tapped = ObjectProperty(lambda: None)

    def on_touch_down(self, touch: Any) -> bool:
        if not self.taking or not self.collide_point(*touch.opos):
            return bool(super().on_touch_down(touch))
        self.tapped()
        return True


class CalibrationView(WithVolume):
    """Listen, tap, see, keep."""

    device = StringProperty("")
    kept = StringProperty("")
    is_kept = BooleanProperty(False)
    words = StringProperty("")
    taking = BooleanProperty(False)
    usable = BooleanProperty(False)
    tried = BooleanProperty(False)
    has_sound = BooleanProperty(True)
    taps = NumericProperty(0)

    def enter(self, **_given: Any) -> None:
        self.say_volume()
        self._found: Calibration | None = None
        self._taps: list[float] = []
        self._held: set[int] = set()
        self._events: list[Any] = []
        self._clicks: tuple[float, ...] = ()
        self.words, self.tried, self.usable, self.taps = "", False, False, 0
        self.ids.field.tapped = self._tap
        self.app.latencies.look()
        self.app.speaker.bind(notice=self._say_kept)
        self._say_kept()
        self._rest()
        Window.bind(
            on_key_down=self._key_down, on_key_up=self._key_up, focus=self._lost, on_resize=self._lost
        )

    def leave(self) -> None:
        self.stop()
        self.app.speaker.unbind(notice=self._say_kept)
        Window.unbind(
            on_key_down=self._key_down, on_key_up=self._key_up, focus=self._lost, on_resize=self._lost
        )

    def pause(self) -> None:
        self.stop()

    def begin(self) -> None:
        """Play the clicks and listen, or stop where that goes on."""
        if self.taking:
            self.stop()
            return
        if not self.has_sound:
            return
        samples, times = calibration_clicks()
        self.app.focus.clear()
        self.taking, self.tried, self.usable, self.words = True, False, False, ""
        self._taps, self.taps = [], 0
        listen_closely(True)
        now = time.perf_counter()
        self.app.speaker.play_samples(TAPS, samples)
        self._clicks = tuple(now + at for at in times)
        self._first_click = time.time() + now - time.perf_counter()
        end = self._clicks[-1] + AFTER + max(0.0, self.app.speaker.latency)
        self._events = [Clock.schedule_once(lambda _dt: self._finish(), end - time.perf_counter())]

    def play_again(self) -> None:
        """The clicks, whether or not there were taps before."""
        self.begin()

    def stop(self) -> None:
        for event in self._events:
            event.cancel()
        self.app.speaker.stop()
        self._rest()

    def keep(self) -> None:
        """Keep the estimate for this player and device."""
        if self._found is not None and self.usable:
            self.app.latencies.keep(self._found, self.app.practice.now())
            self.tried, self.usable = False, False
            self.words = said.kept_now()
            self._say_kept()

    def forget(self) -> None:
        self.app.latencies.forget()
        self._say_kept()

    def back(self) -> None:
        self.app.go("settings")

    def acts(self) -> dict[str, Callable[[], object]]:
        acts: dict[str, Callable[[], object]] = {"enter": self.keep if self.usable else self.begin}
        if self.taking:  # taps were counted as they came in, in _key_down
            return {**dict.fromkeys(TAP_KEYS, lambda: None), **acts}
        return {"g": self.play_again, **acts}

    def traced(self) -> dict[str, object]:
        return {
            "device": self.device,
            "kept": self.kept,
            "words": self.words,
            "taking": self.taking,
            "taps": self.taps,
            "usable": self.usable,
            "first_click": self._first_click if self.taking else None,
            "interval": self._clicks[1] - self._clicks[0] if self._clicks else None,
        }

    _clicks: tuple[float, ...] = ()
    _first_click = 0.0

    def _tap(self) -> None:
        self._taps.append(time.perf_counter())
        self.taps = len(self._taps)

    def _key_down(
        self, _window: object, code: int, _scan: int, text: str | None, _modifiers: list[str]
    ) -> None:
        fresh = code not in self._held  # a key held down repeats itself
        self._held.add(code)
        if self.taking and fresh and (code in (32, 273, 274) or (text or "").lower() in ("f", "j")):
            self._tap()

    def _key_up(self, _window: object, code: int, *_rest: object) -> None:
        self._held.discard(code)

    def _finish(self) -> None:
        taps, clicks = self._taps, self._clicks
        self.stop()
        self._found = calibrate(clicks, taps)
        self.tried, self.usable = True, not self._found.refusal
        self.words = said.tapped(self._found)

    def _rest(self) -> None:
        listen_closely(False)
        self.taking, self._events = False, []

    def _lost(self, *given: object) -> None:
        focus_kept = len(given) > 1 and given[1] is True
        if self.taking and not focus_kept:
            self.stop()
            self.words = said.disturbed()

    def _say_kept(self, *_args: object) -> None:
        latencies = self.app.latencies
        latencies.look()
        self.device = latencies.key
        self.has_sound = not self.app.speaker.silent
        kept = latencies.kept
        self.is_kept = self.has_sound and kept is not None
        self.kept = said.kept(kept, date.fromtimestamp(latencies.kept_on), self.has_sound)


load_kv(__file__)
