"""The strum field: six strings to drag across, and the crossings that become strokes.

Conventions: times in seconds on ``time.perf_counter``; a stroke happens when a touch crosses the middle of
the strings, its time interpolated between the two places on either side. Speed is force: from 0 at rest to 1
at ``FASTEST`` dp a second, and accents are read against the player's own strokes later on.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from kivy.graphics import Color, Rectangle, SmoothLine
from kivy.metrics import dp
from kivy.properties import BooleanProperty
from kivy.uix.widget import Widget

from drillapp.music.slots import Hand
from drillapp.screens.look.look import look
from drillapp.screens.widgets.drawn import Add, Drawn
from drillapp.screens.widgets.touches import began, followed

FASTEST = 4000.0
STRINGS = 6
KEY_FORCE, KEY_ACCENT = 0.45, 0.9


@dataclass(frozen=True)
class Crossing:
    """A stroke across the strings: when, which way, muted or not, and how hard (0 to 1)."""

    time: float
    hand: Hand
    muted: bool
    force: float


def crossing(
    line: float, before: tuple[float, float], after: tuple[float, float], muted: bool, pixels: float = 1.0
) -> Crossing | None:
    """The stroke of a touch that moved between two (time, y) samples, None where it stayed on one side.

    y runs upwards, so a down-stroke goes from above ``line`` to below. ``pixels``: pixels to a dp.

    >>> crossing(100, (0.0, 130), (0.010, 80), False).hand
    'down'
    """
    (t1, y1), (t2, y2) = before, after
    if (y1 > line) == (y2 > line) or y1 == y2:
        return None
    share = (y1 - line) / (y1 - y2)
    speed = abs(y2 - y1) / pixels / max(t2 - t1, 0.001)
    return Crossing(t1 + share * (t2 - t1), "down" if y2 < y1 else "up", muted, min(speed / FASTEST, 1.0))


class StrumField(Drawn):
    """Strings that hear each stroke across them while ``listening``; ``struck`` is called with each one."""

    listening = BooleanProperty(False)
    palm = BooleanProperty(False)
    watched = ("listening",)

    def __init__(self, **kwargs: Any) -> None:
        self.struck: Callable[[Crossing], None] = lambda _crossing: None
        self._touches: dict[Any, tuple[float, float]] = {}
        super().__init__(**kwargs)

    @property
    def line(self) -> float:
        """y of the middle of the strings."""
        return float(self.center_y)

    def draw(self, add: Add) -> None:
        u = look.u
        gap = min(22 * u, self.height / (STRINGS + 5))
        left, wide = self.x + 24 * u, self.width - 48 * u
        for number in range(STRINGS):
            # The low string is the thickest and lies on top, as it does under the hand.
            thick = (3.6 - 0.5 * number) * u
            y = self.center_y + (2.5 - number) * gap
            add(Color(*(look.ink if self.listening else look.second)))
            add(Rectangle(pos=(left, y - thick / 2), size=(wide, thick)))
        for up in (False, True):
            self._arrow(add, up, self.center_y + (-1 if up else 1) * (2.5 * gap + 70 * u))

    def _arrow(self, add: Add, up: bool, y: float) -> None:
        u = look.u
        if not self.y + 40 * u < y < self.top - 40 * u:
            return
        tip = 1 if up else -1
        x, end = self.center_x, y + tip * 30 * u
        add(Color(*look.second))
        add(SmoothLine(points=[x, y - tip * 30 * u, x, end], width=1.5 * u))
        add(
            SmoothLine(
                points=[x - 11 * u, end - tip * 15 * u, x, end, x + 11 * u, end - tip * 15 * u], width=1.5 * u
            )
        )

    def on_touch_down(self, touch: Any) -> bool:
        if not touch.places or not self.collide_point(*began(touch)):
            return False
        touch.grab(self)
        self._follow(touch)
        return True

    def on_touch_move(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        self._follow(touch)
        return True

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        self._follow(touch)
        touch.ungrab(self)
        self._touches.pop(touch.uid, None)
        return True

    def _follow(self, touch: Any) -> None:
        """Look for strokes in where the touch has been since."""
        for after in followed(touch):
            before = self._touches.get(touch.uid)
            self._touches[touch.uid] = after
            found = before and crossing(self.line, before, after, self.palm, dp(1))
            if found is not None and self.listening:
                self.struck(found)

    def key_stroke(self, hand: Hand, accent: bool) -> None:
        """A stroke from the keyboard, now."""
        if self.listening:
            force = KEY_ACCENT if accent else KEY_FORCE
            self.struck(Crossing(time.perf_counter(), hand, self.palm, force))


class PalmPad(Widget):
    """Held with another finger (or a key), it mutes; ``held`` says that it is."""

    held = BooleanProperty(False)

    def on_touch_down(self, touch: Any) -> bool:
        if not self.collide_point(*touch.pos):
            return False
        touch.grab(self)
        self.held = True
        return True

    def on_touch_up(self, touch: Any) -> bool:
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        self.held = False
        return True
