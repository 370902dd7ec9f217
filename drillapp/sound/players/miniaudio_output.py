"""Playing through miniaudio: one open device that is fed all the time, silence between sounds.

The device asks for a block at a time, on its own thread. A sound starts a fixed time after ``start`` was
called, at the right sample inside its block, so that blocks do not make its start uneven.
"""

from __future__ import annotations

import atexit
import sys
from collections import deque
from collections.abc import Generator
from time import monotonic
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from drillapp.sound.players.facade import FADE, NoSound, fall

BLOCK = 0.020
"""Length in s of a block that the device asks for."""
BLOCKS = 5
"""How many blocks the device holds, so that a busy interface does not starve it."""
LEAD = 0.025
"""Time in s between the call and the block that the sound starts in."""
_LOST = 2.0
# A device that has asked for nothing for so long has gone.


class _MiniaudioHandle:
    """One sound: where it is, and its last samples once it is stopped. Written by the device's thread."""

    def __init__(
        self,
        samples: NDArray[np.float32],
        rate: int,
        loop: bool,
        due: float,
        volume: float,
        more: bool = False,
    ) -> None:
        self._samples, self._rate, self._loop = samples, rate, loop
        self._due = due
        self._more = more  # more samples will come: it does not end by itself
        self._past = 0  # samples that were played and are no longer kept
        self._volume = self._reached = volume
        self._at = 0
        self._begun = False
        self._ended = False
        self._stopping = False

    @property
    def playing(self) -> bool:
        return not (self._ended or self._stopping)

    @property
    def position(self) -> float | None:
        return max(0.0, (self._past + self._at) / self._rate - BLOCK * BLOCKS)

    @property
    def ended(self) -> bool:
        """Whether the sound has nothing more to give, its fade included."""
        return self._ended

    def stop(self) -> None:
        self._stopping = True

    def turn(self, volume: float) -> None:
        self._volume = volume

    def add(self, out: NDArray[np.float32], now: float) -> None:
        """Add what sounds in the block that begins at ``now``."""
        skip = 0
        if not self._begun:
            skip = max(0, round((self._due - now) * self._rate))
            self._ended = self._ended or self._stopping
            self._begun = skip < len(out)
        if self._ended or not self._begun:
            return
        room = out[skip:]
        if self._stopping:
            room = room[: round(FADE * self._rate)]
            part = self._next(len(room))
            part = part * fall(self._rate)[: len(part)]
        else:
            part = self._next(len(room))
        room[: len(part)] += part * self._gain(len(part))
        self._ended = self._stopping or (len(part) < len(room) and not self._more)

    def _gain(self, count: int) -> NDArray[np.float32]:
        """The volume; where it has changed, the way there, so that it does not click."""
        volume, before = self._volume, self._reached
        self._reached = volume
        if volume == before:
            return np.array([volume], dtype=np.float32)
        way: NDArray[np.float32] = np.linspace(before, volume, count).astype(np.float32)
        return way

    def _next(self, count: int) -> NDArray[np.float32]:
        if self._loop:
            part = self._samples.take(np.arange(self._at, self._at + count), mode="wrap")
        else:
            part = self._samples[self._at : self._at + count]
        self._at += len(part)
        return part


class _MiniaudioStream(_MiniaudioHandle):
    """A sound that is added to: parts wait in a queue until the device's thread has come to their place."""

    def __init__(self, samples: NDArray[np.float32], rate: int, due: float, volume: float) -> None:
        super().__init__(samples, rate, False, due, volume, more=True)
        self._waiting: deque[NDArray[np.float32]] = deque()

    def extend(self, samples: NDArray[np.float32]) -> None:
        self._waiting.append(samples)

    def _next(self, count: int) -> NDArray[np.float32]:
        parts = [super()._next(count)]
        missing = count - len(parts[0])
        while missing and self._waiting:
            self._past, self._at, self._samples = self._past + self._at, 0, self._waiting.popleft()
            parts.append(super()._next(missing))
            missing -= len(parts[-1])
        return np.concatenate(parts)


def _backends(library: Any) -> list[Any]:
    """Linux: ALSA first, which PulseAudio and PipeWire serve too.

    Through miniaudio's own PulseAudio back end a busy interface tears the sound to pieces (measured on a null
    sink); through ALSA it does not. Elsewhere: the library's own choice.
    """
    if not sys.platform.startswith("linux"):
        return []
    return [library.Backend.ALSA, library.Backend.PULSEAUDIO, library.Backend.JACK]


_Added = TypeVar("_Added", bound=_MiniaudioHandle)


class MiniaudioOutput:
    """A device that is open and fed from now on, at one rate; another rate opens it anew."""

    name = "miniaudio"

    def __init__(self, library: Any) -> None:
        self._library = library
        self._rate = 0
        self._device: Any = None
        self._handles: tuple[_MiniaudioHandle, ...] = ()
        self._fed = 0.0
        self._open(44100)
        # A device that is still fed while the interpreter shuts down waits for it for ever.
        atexit.register(self.close)

    @property
    def latency(self) -> float:
        """The lead, what the device holds, and the block in which it starts (150 ms on a null sink)."""
        return LEAD + BLOCK * (BLOCKS + 1)

    @property
    def alive(self) -> bool:
        return self._device is not None and monotonic() - self._fed < _LOST

    def _open(self, rate: int) -> None:
        self.close()
        library = self._library
        try:
            device = library.PlaybackDevice(
                output_format=library.SampleFormat.FLOAT32,
                nchannels=1,
                sample_rate=rate,
                buffersize_msec=round(BLOCK * 1000),
                callback_periods=BLOCKS,
                backends=_backends(library),
                app_name="drillapp",
            )
        except library.MiniaudioError as error:
            raise NoSound(str(error)) from error
        if device.backend.lower() == "null":
            device.close()
            raise NoSound("there is no sound device")
        feed = self._feed(rate)
        next(feed)
        try:
            device.start(feed)
        except library.MiniaudioError as error:
            device.close()
            raise NoSound(str(error)) from error
        self._rate, self._device, self._fed = rate, device, monotonic()

    def _feed(self, rate: int) -> Generator[NDArray[np.float32], int, None]:
        frames = yield np.zeros(0, np.float32)
        while True:
            self._fed = now = monotonic()
            out = np.zeros(frames, np.float32)
            for handle in self._handles:
                handle.add(out, now)
            frames = yield out

    def start(self, samples: NDArray[np.float32], rate: int, loop: bool, volume: float) -> _MiniaudioHandle:
        self._at_rate(rate)
        return self._add(_MiniaudioHandle(samples, rate, loop, monotonic() + LEAD, volume))

    def stream(
        self, samples: NDArray[np.float32], rate: int, volume: float, seconds: float
    ) -> _MiniaudioStream:
        self._at_rate(rate)
        return self._add(_MiniaudioStream(samples, rate, monotonic() + LEAD, volume))

    def _at_rate(self, rate: int) -> None:
        if rate != self._rate:
            self._open(rate)
        if not self.alive:
            raise NoSound("the sound device has gone")

    def _add(self, handle: _Added) -> _Added:
        # Only this thread changes the tuple; the device's thread goes through it.
        self._handles = (*(other for other in self._handles if not other.ended), handle)
        return handle

    def close(self) -> None:
        for handle in self._handles:
            handle.stop()
        self._handles = ()
        if self._device is not None:
            self._device.close()
            self._device = None


def open_output() -> MiniaudioOutput:
    """Miniaudio's output; raises NoSound where it is not installed or finds no device."""
    try:
        import miniaudio
    except ImportError as error:
        raise NoSound("miniaudio is not installed") from error
    return MiniaudioOutput(miniaudio)
