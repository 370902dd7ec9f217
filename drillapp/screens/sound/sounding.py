"""What screens that play sounds have in common."""

from __future__ import annotations

from typing import Any

from kivy.properties import StringProperty

from drillapp.screens.frame.base import Screen


class Sounding(Screen):
    """A screen that plays sounds: ``playing`` is the key of the one that is heard; leaving it stops them."""

    playing = StringProperty("")

    def enter(self, **given: Any) -> None:
        self.app.speaker.bind(playing=self._heard)

    def leave(self) -> None:
        self.app.speaker.unbind(playing=self._heard)
        self.app.speaker.stop()

    def _heard(self, _speaker: object, playing: str) -> None:
        self.playing = playing
