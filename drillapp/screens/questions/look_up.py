"""Signs on this page: what each one means and how it sounds, over a question that goes on afterwards."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.drills.lessons import LESSONS
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.sound.sounding import Sounding
from drillapp.screens.sound.sounds import Sound
from drillapp.screens.widgets import moving_page, sign
from drillapp.words import lessons as words

__all__ = ["LookUp", "moving_page", "sign"]

HEARD = "sign-"


class SignMeaning(BoxLayout):
    """A sign, what it means, the bar of its lesson and Hear."""

    feature = StringProperty("")
    caption = StringProperty("")
    see = StringProperty("")
    hand = StringProperty("")
    hint = StringProperty("")
    playing = BooleanProperty(False)

    __events__ = ("on_hear",)

    def on_hear(self) -> None: ...


class LookUp(Sounding):
    """What the signs of the question beneath mean."""

    none = StringProperty("")
    remark = StringProperty("")

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._rows: tuple[SignMeaning, ...] = ()
        self._moving = Clock.create_trigger(self._move, interval=True)
        self._start = 0.0

    def enter(self, features: Sequence[str] = (), **_given: Any) -> None:
        super().enter()
        setting = self.app.practice.setting
        self._rows = tuple(self._row(number, feature) for number, feature in enumerate(features))
        self.ids.rows.clear_widgets()
        for row in self._rows:
            lesson = LESSONS[row.feature]
            page = row.ids.page
            page.names = setting("counts")
            layers = lesson.layers_beside(setting("layers"))
            page.show(lesson.shown, layers, lesson.places(layers))
            self.ids.rows.add_widget(row)
        self.ids.scroll.scroll_y = 1
        self.none = "" if features else words.no_signs()
        self.remark = words.helped_words()

    def leave(self) -> None:
        self._moving.cancel()
        super().leave()

    def hear(self, feature: str) -> None:
        """Play the bar of a sign's lesson, or stop it."""
        bar = LESSONS[feature].shown
        setting = self.app.practice.setting
        sound = Sound(bar, float(bar.tempo), setting("chord"), setting("voice"), 0, False, True)
        self.app.speaker.sounds.samples(sound)
        begun = time.perf_counter()
        if self.app.speaker.toggle(HEARD + feature, sound):
            self._start = begun + self.app.speaker.latency
            self._moving()

    def look_up(self) -> None:
        """Away again by the key that brought it."""
        self.back()

    def back(self) -> None:
        self.app.uncover()

    def acts(self) -> dict[str, Callable[[], object]]:
        hear = {str(n + 1): partial(self.hear, row.feature) for n, row in enumerate(self._rows[:9])}
        return {**hear, "s": self.look_up, "enter": self.back}

    def traced(self) -> dict[str, object]:
        return {"features": [row.feature for row in self._rows], "playing": self.playing}

    def on_playing(self, _screen: object, playing: str) -> None:
        for row in self._rows:
            row.playing = playing == HEARD + row.feature
            row.ids.page.heard = None
        if not playing:
            self._moving.cancel()

    def _move(self, _dt: float) -> None:
        at = time.perf_counter() - self._start
        for row in self._rows:
            if row.playing:
                bar = LESSONS[row.feature].shown
                row.ids.page.heard = at if 0 <= at <= bar.seconds(bar.length) else None

    def _row(self, number: int, feature: str) -> SignMeaning:
        row = SignMeaning(
            feature=feature,
            caption=words.lesson_title(feature),
            see=words.see(feature),
            hand=words.hand(feature),
            hint=str(number + 1) if number < 9 else "",
        )
        row.bind(on_hear=lambda row: self.hear(row.feature))
        return row


load_kv(__file__)
