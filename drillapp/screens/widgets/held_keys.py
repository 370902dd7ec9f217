"""The keys that strum, taken from the window while strokes are listened for."""

from __future__ import annotations

from collections.abc import Callable

from kivy.core.window import Window
from kivy.event import EventDispatcher
from kivy.properties import BooleanProperty

from drillapp.music.slots import Hand
from drillapp.screens.widgets.strum_keys import StrumKeys, key_name


class HeldKeys(EventDispatcher):
    """Calls ``strike`` with the hand and whether it is accented; ``muting`` while the key for it is held.

    A key that is held strums once, however often it repeats.
    """

    muting = BooleanProperty(False)

    def __init__(self, strike: Callable[[Hand, bool], None]) -> None:
        super().__init__()
        self._strike = strike
        self._keys = StrumKeys()
        self._held: set[str] = set()
        self._listening = False

    def listen(self, keys: StrumKeys) -> None:
        """Take these keys from now on."""
        self._keys = keys
        if not self._listening:
            Window.bind(on_key_down=self._down, on_key_up=self._up, focus=self._let_go)
            self._listening = True

    def stop(self) -> None:
        if self._listening:
            Window.unbind(on_key_down=self._down, on_key_up=self._up, focus=self._let_go)
            self._listening = False
        self._let_go()

    def _down(self, _window: object, code: int, _scan: int, _text: str | None, modifiers: list[str]) -> bool:
        key = key_name(code)
        act = self._keys.act(key)
        if act is None or {"ctrl", "alt", "meta"} & set(modifiers):
            return False
        if key not in self._held:
            self._held.add(key)
            self.muting = self._keys.mute in self._held
            if act in ("down", "up"):
                self._strike("down" if act == "down" else "up", self._keys.accent in self._held)
        return True

    def _up(self, _window: object, code: int, *_rest: object) -> None:
        self._held.discard(key_name(code))
        self.muting = self._keys.mute in self._held

    def _let_go(self, *_given: object) -> None:
        self._held.clear()  # a key let go in another window is not seen
        self.muting = False
