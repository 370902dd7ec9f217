"""What screens that play sounds have in common."""

from __future__ import annotations

from typing import Any

from kivy.properties import StringProperty

from drillapp.screens.frame.base import Screen
from drillapp.words.settings import volume

VOLUME_KEYS = {"page up": 1, "page down": -1}
VOLUME_STEP = 0.1


class WithVolume(Screen):
    """A screen with the volume at hand: Page Up and Page Down, and a `VolumeStepper`."""

    volume = StringProperty("")

    def say_volume(self) -> None:
        self.volume = volume(self.app.practice.setting("volume"))

    def change_volume(self, by: int) -> None:
        """A step louder or softer, for what plays now too; kept as the device's setting."""
        new = stepped_volume(self.app.practice.setting("volume"), by)
        self.app.practice.change("volume", new)
        self.app.speaker.set_volume(new)
        self.say_volume()

    def told_keys(self) -> tuple[str, ...]:
        return (*super().told_keys(), *VOLUME_KEYS)

    def key(self, key: str, modifiers: list[str]) -> bool:
        if key in VOLUME_KEYS:
            self.change_volume(VOLUME_KEYS[key])
            return True
        return super().key(key, modifiers)


class Sounding(WithVolume):
    """A screen that plays sounds: ``playing`` is the key of the one that is heard; leaving it stops them."""

    playing = StringProperty("")

    def enter(self, **given: Any) -> None:
        self.say_volume()
        self.app.speaker.bind(playing=self._heard)

    def leave(self) -> None:
        self.app.speaker.unbind(playing=self._heard)
        self.app.speaker.stop()

    def pause(self) -> None:
        self.app.speaker.stop()

    def _heard(self, _speaker: object, playing: str) -> None:
        self.playing = playing


def stepped_volume(now: float, by: int) -> float:
    """Some steps of a tenth louder, or softer where ``by`` is negative, from silence to full.

    >>> stepped_volume(0.3, 1), stepped_volume(0.02, -1)
    (0.4, 0.0)
    """
    return min(max(round((now + by * VOLUME_STEP) * 10) / 10, 0.0), 1.0)
