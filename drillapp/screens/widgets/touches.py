"""Every place where a touch was seen, and when.

Kivy gives a touch to the widgets once for each look at the input, with its last place only. A quick stroke
that falls between two looks would then begin where it ended and be lost; so all places are noted.

Conventions: seconds on ``time.perf_counter``; pixels of the window, y upwards.
"""

from __future__ import annotations

import time
from collections import deque
from typing import Any

from kivy.core.window import Window
from kivy.input.motionevent import MotionEvent

_MOST = 256
"""places kept of a touch that nobody asks for them"""
_depack = MotionEvent.depack


def _depack_and_note(touch: Any, args: Any) -> None:
    _depack(touch, args)
    if "places" not in touch.__dict__:
        touch.places = deque(maxlen=_MOST)
    touch.places.append((time.perf_counter(), touch.sx, touch.sy))


MotionEvent.depack = _depack_and_note


def began(touch: Any) -> tuple[float, float]:
    """Where the touch was first seen, as far as it has not been ``followed`` yet."""
    _, x, y = touch.places[0]
    return _in_window(touch, x, y)


def followed(touch: Any) -> list[tuple[float, float]]:
    """(time, y) of the places where the touch was seen since the last call."""
    found = [(when, _in_window(touch, x, y)[1]) for when, x, y in touch.places]
    touch.places.clear()
    return found


def _in_window(touch: Any, x: float, y: float) -> tuple[float, float]:
    width, height = Window.size
    place: tuple[float, float] = touch.to_absolute_pos(x, y, width - 1, height - 1, Window.rotation)
    return place
