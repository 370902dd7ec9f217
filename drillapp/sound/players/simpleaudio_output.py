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
from typing import Any, TypeVar

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
    def __init__(
        self,
        output: SimpleaudioOutput,
        sound: Any,
        data: NDArray[np.int16],
        samples: NDArray[np.float32],
        rate: int,
        volume: float,
    ) -> None:
        self._output, self._sound, self._data, self._rate = output, sound, data, rate
        self._samples, self._volume = samples, volume
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
        rest = self._data[self._unread() :]
        ramp = fall(self._rate)[: len(rest)]
        rest[: len(ramp)] = np.round(rest[: len(ramp)] * ramp).astype(np.int16)
        rest[len(ramp) :] = 0
        self.due = True
        self._output.let_go()

    def _unread(self) -> int:
        """The first sample that the library has surely not read yet."""
        elapsed = monotonic() - self._started
        return min(round((elapsed * 1.0002 + AHEAD) * self._rate), len(self._data))

    def turn(self, volume: float) -> None:
        if self._stopped or volume == self._volume:
            return
        start, before = self._unread(), self._volume
        self._volume = volume
        self._write(start, self._plain(start), before)

    def _plain(self, start: int) -> NDArray[np.float32]:
        """What is to be heard from a sample on, at full volume."""
        count = len(self._data) - start
        if len(self._samples) >= len(self._data):
            return self._samples[start:]
        return self._samples.take(np.arange(start, start + count), mode="wrap")

    def _write(self, start: int, plain: NDArray[np.float32], before: float) -> None:
        """Put samples where the library will read them, going over from the volume before."""
        gain = np.full(len(plain), self._volume, np.float32)
        ramp = fall(self._rate)[: len(plain)]
        gain[: len(ramp)] += (before - self._volume) * ramp
        self._data[start : start + len(plain)] = to_16_bit(plain * gain)

    def let_go(self) -> None:
        """Have the library end it; it is silent already."""
        self._sound.stop()
        self.due = False
        self.ends = monotonic() + AHEAD


class _SimpleaudioStream(_SimpleaudioHandle):
    """Room for so many seconds, written ahead of where the library reads; what is not written is silence.

    ``parts``: what was written and may not be read yet, each with its first sample, at full volume.
    """

    def __init__(
        self, output: SimpleaudioOutput, sound: Any, data: NDArray[np.int16], rate: int, volume: float
    ) -> None:
        super().__init__(output, sound, data, np.zeros(0, np.float32), rate, volume)
        self._parts: list[tuple[int, NDArray[np.float32]]] = []
        self._written = 0
        self._late = 0  # samples of silence that came in between, where something was added too late

    @property
    def position(self) -> float | None:
        heard = monotonic() - self._started - LATENCY
        return min(max(heard - self._late / self._rate, 0.0), (self._written - self._late) / self._rate)

    def begin(self, samples: NDArray[np.float32]) -> None:
        """Note what the room was filled with before the library began to read."""
        self._parts = [(0, samples)]
        self._written = len(samples)

    def extend(self, samples: NDArray[np.float32]) -> None:
        if self._stopped:
            return
        unread = self._unread()
        behind = max(unread - self._written, 0)
        self._late, self._written = self._late + behind, self._written + behind
        part = samples[: len(self._data) - self._written]
        self._write(self._written, part, self._volume)
        self._parts = [(start, old) for start, old in self._parts if start + len(old) > unread]
        self._parts.append((self._written, part))
        self._written += len(part)

    def _plain(self, start: int) -> NDArray[np.float32]:
        plain = np.zeros(max(self._written - start, 0), np.float32)
        for at, part in self._parts:
            rest = part[max(start - at, 0) :]
            first = max(at - start, 0)
            plain[first : first + len(rest)] = rest
        return plain


_Kept = TypeVar("_Kept", bound=_SimpleaudioHandle)


class SimpleaudioOutput:
    """Each sound opens the device anew, in the library's own thread."""

    name = "simpleaudio"
    latency = LATENCY
    alive = True

    def __init__(self, library: Any) -> None:
        self._library = library
        self._handles: list[_SimpleaudioHandle] = []

    def start(self, samples: NDArray[np.float32], rate: int, loop: bool, volume: float) -> _SimpleaudioHandle:
        data = to_16_bit(samples * np.float32(volume))
        if loop:
            data = np.tile(data, max(1, round(LOOP_SECONDS * rate / len(data))))
        sound = self._begin(data, rate)
        return self._kept(_SimpleaudioHandle(self, sound, data, samples, rate, volume))

    def stream(
        self, samples: NDArray[np.float32], rate: int, volume: float, seconds: float
    ) -> _SimpleaudioStream:
        data = np.zeros(max(round(seconds * rate), len(samples)), np.int16)
        data[: len(samples)] = to_16_bit(samples * np.float32(volume))
        handle = _SimpleaudioStream(self, self._begin(data, rate), data, rate, volume)
        handle.begin(samples)
        return self._kept(handle)

    def _begin(self, data: NDArray[np.int16], rate: int) -> Any:
        self.let_go()
        try:
            return self._library.play_buffer(data, 1, 2, rate)
        except Exception as error:  # the library's own class cannot be named before it is imported
            raise NoSound(str(error)) from error

    def _kept(self, handle: _Kept) -> _Kept:
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
    output.start(np.zeros(256, np.float32), 44100, loop=False, volume=0.0)
    return output
