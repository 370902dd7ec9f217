"""Playing through simpleaudio: its own thread feeds the device, so the interface cannot disturb it.

Only for Python older than 3.12, where it does not crash. The library reads the samples from our memory
while it plays, about a tenth of a second ahead of what is heard; so a sound is faded by changing the
samples that it has not read yet.

Its calls look at the first of its sounds before they lock their list (simpleaudio 1.0.4, ``_stop`` and
``_is_playing``): where that one is just ending, they read memory that was given back. So whether a sound
plays is told by the clock here, and none is stopped while another is about to end: it is silent by then, and
let go a little later.
"""

from __future__ import annotations

import sys
from time import monotonic
from typing import Any

import numpy as np
from numpy.typing import NDArray

from drillapp.sound.pcm import to_16_bit
from drillapp.sound.players.facade import NoSound, fall

AHEAD = 0.125
"""How far in s the library has read at most: its buffer of 0.1 s and some scheduling."""
LATENCY = 0.010
"""About how long in s a sound takes to start (measured on a PulseAudio null sink)."""
ENDING = 0.5
"""How long in s about its end a sound may be taken off the library's list."""
LOOP_SECONDS = 300.0
"""How long in s a loop goes on: the library cannot repeat, so the samples are."""


class _SimpleaudioHandle:
    def __init__(self, output: SimpleaudioOutput, sound: Any, data: NDArray[np.int16], rate: int) -> None:
        self._output, self._sound, self._data, self._rate = output, sound, data, rate
        self._started = monotonic()
        self.ends = self._started + LATENCY + len(data) / rate
        self._stopped = False
        self.due = False

    @property
    def playing(self) -> bool:
        return not self._stopped and monotonic() < self.ends

    @property
    def position(self) -> float | None:
        heard = monotonic() - self._started - LATENCY
        return min(max(heard, 0.0), len(self._data) / self._rate)

    def stop(self) -> None:
        if self._stopped:
            return
        self._stopped = True
        elapsed = monotonic() - self._started
        unread = round((elapsed * 1.0002 + AHEAD) * self._rate)
        rest = self._data[unread:]
        ramp = fall(self._rate)[: len(rest)]
        rest[: len(ramp)] = np.round(rest[: len(ramp)] * ramp).astype(np.int16)
        rest[len(ramp) :] = 0
        self.due = True
        self._output.let_go()

    def let_go(self) -> None:
        """Have the library end it; it is silent already."""
        self._sound.stop()
        self.due = False
        self.ends = monotonic() + AHEAD


class SimpleaudioOutput:
    """Each sound opens the device anew, in the library's own thread."""

    name = "simpleaudio"
    latency = LATENCY
    alive = True

    def __init__(self, library: Any) -> None:
        self._library = library
        self._handles: list[_SimpleaudioHandle] = []

    def start(self, samples: NDArray[np.float32], rate: int, loop: bool) -> _SimpleaudioHandle:
        self.let_go()
        data = to_16_bit(samples)
        if loop:
            data = np.tile(data, max(1, round(LOOP_SECONDS * rate / len(data))))
        try:
            sound = self._library.play_buffer(data, 1, 2, rate)
        except Exception as error:  # the library's own class cannot be named before it is imported
            raise NoSound(str(error)) from error
        handle = _SimpleaudioHandle(self, sound, data, rate)
        now = monotonic()
        self._handles = [*(other for other in self._handles if now < other.ends + ENDING), handle]
        return handle

    def let_go(self) -> None:
        """Have the library end what was stopped, but for while a sound is about to leave its list."""
        now = monotonic()
        for handle in self._handles:
            if handle.due and not any(
                abs(now - other.ends) < ENDING for other in self._handles if other is not handle
            ):
                handle.let_go()

    def close(self) -> None:
        for handle in self._handles:
            handle.stop()
        self._handles = []


def open_output() -> SimpleaudioOutput:
    """Simpleaudio's output; raises NoSound where it may not be used, is not there, or finds no device."""
    if sys.version_info >= (3, 12):
        raise NoSound("simpleaudio crashes on Python 3.12 and newer")
    try:
        import simpleaudio
    except ImportError as error:
        raise NoSound("simpleaudio is not installed") from error
    output = SimpleaudioOutput(simpleaudio)
    output.start(np.zeros(256, np.float32), 44100, loop=False)
    return output
