"""Real X events at known times, by the XTEST extension; needs libX11 and libXtst (xdotool brings them).

    python xtest.py DISPLAY keys|drags COUNT RATE X TOP BOTTOM

strums COUNT times in turn down and up, RATE times a second, with the keys f and j or by dragging across the
middle between TOP and BOTTOM, and prints when each stroke was made: seconds on ``time.perf_counter``, which
on Linux all processes share.
"""

from __future__ import annotations

import ctypes
import json
import sys
import time

STEP = 0.004
"""seconds between two places of a drag, as of a mouse that reports 250 times a second"""
STEPS = 5
"""places on either side of the middle"""


class XTest:
    """A display that is sent keys, moves and buttons; every call returns when the server has taken it."""

    def __init__(self, display: str) -> None:
        self._x, self._test = ctypes.CDLL("libX11.so.6"), ctypes.CDLL("libXtst.so.6")
        self._x.XOpenDisplay.restype = ctypes.c_void_p
        self._display = ctypes.c_void_p(self._x.XOpenDisplay(display.encode()))
        if not self._display:
            raise RuntimeError(f"no X server on {display}")
        self._x.XStringToKeysym.restype = ctypes.c_ulong

    def key(self, name: str, down: bool) -> None:
        code = self._x.XKeysymToKeycode(self._display, ctypes.c_ulong(self._x.XStringToKeysym(name.encode())))
        self._test.XTestFakeKeyEvent(self._display, code, down, ctypes.c_ulong(0))
        self._x.XSync(self._display, 0)

    def move(self, x: int, y: int) -> None:
        self._test.XTestFakeMotionEvent(self._display, -1, x, y, ctypes.c_ulong(0))
        self._x.XSync(self._display, 0)

    def button(self, down: bool) -> None:
        self._test.XTestFakeButtonEvent(self._display, 1, down, ctypes.c_ulong(0))
        self._x.XSync(self._display, 0)

    def focus_nothing(self) -> None:
        """Take the keyboard's focus away from every window."""
        self._x.XSetInputFocus(self._display, ctypes.c_ulong(0), 0, ctypes.c_ulong(0))
        self._x.XSync(self._display, 0)


def wait_until(when: float) -> None:
    """Sleep, and at the end spin: a sleeping process is woken some 0.1 ms late."""
    while (left := when - time.perf_counter()) > 0:
        if left > 0.002:
            time.sleep(left - 0.0015)


def strum_keys(server: XTest, count: int, rate: float) -> list[float]:
    begin, times = time.perf_counter() + 0.1, []
    for number in range(count):
        wait_until(begin + number / rate)
        key = "fj"[number % 2]
        times.append(time.perf_counter())
        server.key(key, True)
        wait_until(begin + number / rate + min(0.02, 0.4 / rate))
        server.key(key, False)
    return times


def strum_drags(server: XTest, count: int, rate: float, x: int, top: int, bottom: int) -> list[float]:
    """Even drags; the time of each is that at which it is half way."""
    begin, times = time.perf_counter() + 0.1, []
    for number in range(count):
        times.append(begin + number / rate)
        drag(server, x, top, bottom, "up" if number % 2 else "down", times[-1])
    return times


def drag(server: XTest, x: int, top: int, bottom: int, hand: str, crossing: float) -> None:
    """Drag across the middle, down or up, to be half way at a time on ``perf_counter``."""
    middle, reach = (top + bottom) / 2, (bottom - top) / 2 - 12
    way = -1 if hand == "up" else 1
    for step in range(-STEPS, STEPS + 1):
        wait_until(crossing + (step - 0.5) * STEP)
        server.move(x, round(middle + way * reach * (step - 0.5) / (STEPS + 0.5)))
        if step == -STEPS:
            server.button(True)
    server.button(False)


def main() -> None:
    display, by, count, rate, x, top, bottom = sys.argv[1:]
    server = XTest(display)
    if by == "keys":
        times = strum_keys(server, int(count), float(rate))
    else:
        times = strum_drags(server, int(count), float(rate), int(x), int(top), int(bottom))
    print(json.dumps(times))


if __name__ == "__main__":
    main()
