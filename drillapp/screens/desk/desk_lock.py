"""The desk's lock: the PIN is asked for, given anew, or taken off."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from functools import partial
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, StringProperty

from drillapp.desk.lock import PinRefused
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import head
from drillapp.words import desk_screens as said
from drillapp.words.faults import fault_said
from drillapp.words.language import _

__all__ = ["DeskLock", "head"]

SALT_BYTES = 16
DIGITS = "1234567890"


class DeskLock(Screen):
    """``changing``: a new PIN is given, twice; else the one that is set opens the desk."""

    changing = BooleanProperty(False)
    pin = StringProperty("")
    title = StringProperty("")
    waiting = StringProperty("")
    fault = StringProperty("")
    forgotten = StringProperty("")
    _clock: Any = None

    def enter(self, changing: bool = False, **_given: Any) -> None:
        self.changing, self._first = changing, ""
        self.pin = self.fault = ""
        self.title = _("A new PIN") if changing else _("Teacher's desk")
        self.forgotten = "" if changing else said.forgotten(self.app.folder)
        self._tell_wait()
        self._clock = Clock.schedule_interval(self._tell_wait, 0.5)

    def leave(self) -> None:
        if self._clock is not None:
            self._clock.cancel()

    def back(self) -> None:
        self.app.go("desk" if self.changing else "learners")

    def digit(self, digit: str) -> None:
        self.pin, self.fault = self.pin + digit, ""

    def delete(self) -> None:
        self.pin = self.pin[:-1]

    def act(self) -> None:
        """Try the PIN, or keep the new one once it was written twice."""
        if self.changing:
            self._give()
            return
        desk = self.app.desk
        try:
            desk.unlock(self.pin)
        except PinRefused as refusal:
            self.pin, self.fault = "", fault_said(refusal)
            self._tell_wait()
            return
        self.app.go("desk")

    def acts(self) -> dict[str, Callable[[], object]]:
        typed = {digit: partial(self.digit, digit) for digit in DIGITS}
        return {**typed, "enter": self.act, "backspace": self.delete}

    def take_off(self) -> None:
        self.app.desk.lock.take_off()
        self.app.go("desk")

    def traced(self) -> dict[str, object]:
        return {"fault": self.fault, "waiting": self.waiting, "figures": len(self.pin)}

    def _give(self) -> None:
        if not self._first:
            self._first, self.pin = self.pin, ""
            self.title = _("The new PIN once more")
            return
        first, self._first = self._first, ""
        self.title = _("A new PIN")
        if first != self.pin:
            self.pin, self.fault = "", said.pins_differ()
            return
        try:
            self.app.desk.lock.set(self.pin, secrets.token_bytes(SALT_BYTES))
        except PinRefused as refusal:
            self.pin, self.fault = "", fault_said(refusal)
            return
        self.app.desk.opened = True
        self.app.go("desk")

    def _tell_wait(self, *_args: object) -> None:
        desk = self.app.desk
        self.waiting = "" if self.changing else said.wait(desk.lock.wait(desk.now()))


load_kv(__file__)
