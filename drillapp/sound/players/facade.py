"""What can be asked of a player, whichever library plays.

Conventions: samples are mono float arrays of shape (n,), full scale 1; times in s. Nothing here waits for
sound. ``Player`` checks what it is given, then trusts it; an ``Output`` (one file for each library) only
plays.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from drillapp.sound.players.devices import device_names

_Started = TypeVar("_Started")

SAFE_VOLUME = 0.5
"""Volume that a player starts with: half of full scale, since the ear's owner may wear headphones."""
FADE = 0.008
"""Time in s in which a stopped sound falls silent, so that it does not click."""


class NoSound(Exception):
    """This library cannot play now; the text says why."""


class Handle(Protocol):
    """One sound that is being played."""

    @property
    def playing(self) -> bool:
        """Whether the sound goes on."""

    @property
    def position(self) -> float | None:
        """About how many s of the sound have been heard; None where the library cannot tell."""

    def stop(self) -> None:
        """End the sound now, with a short fade; once it has ended this does nothing."""

    def turn(self, volume: float) -> None:
        """Go on at another volume, from 0 to 1, as far as the library can."""


class Stream(Handle, Protocol):
    """A sound that is added to while it is played. Where nothing is left to play it waits, in silence."""

    def extend(self, samples: NDArray[np.float32]) -> None:
        """Add samples to its end, joined exactly."""


class Output(Protocol):
    """What one library does: play samples that are checked and not empty, at a volume from 0 to 1.

    ``stream`` gives None where the library can only play what is whole.
    """

    @property
    def name(self) -> str: ...
    @property
    def latency(self) -> float: ...
    @property
    def alive(self) -> bool: ...
    def start(self, samples: NDArray[np.float32], rate: int, loop: bool, volume: float) -> Handle: ...
    def stream(
        self, samples: NDArray[np.float32], rate: int, volume: float, seconds: float
    ) -> Stream | None: ...
    def close(self) -> None: ...


class Opener(Protocol):
    """Opens a library's output, or raises NoSound."""

    def __call__(self) -> Output: ...


class Finished:
    """The handle of a sound that has nothing to play."""

    playing = False
    position: float | None = 0.0

    def stop(self) -> None:
        """Nothing sounds, so nothing stops."""

    def turn(self, volume: float) -> None:
        """Nothing sounds, so nothing is louder."""


def fall(rate: int) -> NDArray[np.float32]:
    """The factors of a fade of FADE s, from 1 to 0."""
    count = round(FADE * rate)
    return (0.5 + 0.5 * np.cos(np.pi * (np.arange(count) + 1) / count)).astype(np.float32)


def _check(samples: NDArray[np.floating], rate: int) -> None:
    if samples.ndim != 1:
        raise ValueError(f"samples of shape {samples.shape} must be mono, shape (n,)")
    if not 8000 <= rate <= 192000:
        raise ValueError(f"rate {rate} Hz must lie between 8000 and 192000 Hz")


class Player:
    """Plays samples through the first library that can, and goes on silently where none can.

    ``openers`` are tried in turn; the last one must not fail. A device that goes away makes the player
    silent, with a ``notice``; ``refresh`` brings sound back.
    """

    def __init__(self, openers: Sequence[Opener], notice: str) -> None:
        self._openers = tuple(openers)
        self._no_sound = notice
        self._volume = SAFE_VOLUME
        self._last: Handle = Finished()
        self._output = self._open()

    def _open(self) -> Output:
        for opener in self._openers[:-1]:
            try:
                return opener()
            except NoSound:
                continue
        return self._openers[-1]()

    @property
    def name(self) -> str:
        """The library that plays: simpleaudio, miniaudio, kivy or silent."""
        return self._output.name

    @property
    def latency(self) -> float:
        """About how many s pass between ``play`` and the first sample's sound."""
        return self._output.latency

    @property
    def device(self) -> str:
        """What the sound comes out of, by name; looked up each time, in some 15 ms."""
        return device_names() if self._output.name != "silent" else "nothing"

    @property
    def notice(self) -> str:
        """A sentence for the user where nothing can be heard; else empty."""
        return self._no_sound if self._output.name == "silent" else ""

    @property
    def lost(self) -> bool:
        """Whether the device that was there has gone, as far as the library can tell."""
        return not self._output.alive

    @property
    def volume(self) -> float:
        """What samples are multiplied by, from 0 to 1; the sound begun last follows it while it plays."""
        return self._volume

    @volume.setter
    def volume(self, value: float) -> None:
        if not 0 <= value <= 1:
            raise ValueError(f"volume {value!r} must lie between 0 and 1")
        self._volume = float(value)
        if self._last.playing:
            self._last.turn(self._volume)

    def play(self, samples: NDArray[np.floating], rate: int = 44100, *, loop: bool = False) -> Handle:
        """Start to play mono samples, shape (n,), and come back at once.

        ``loop`` plays them over and over, joined exactly, until ``stop``. An empty array gives a handle
        that has ended. A device that has gone makes the player silent instead of raising. Raises ValueError
        for another shape or a rate out of range.
        """
        _check(samples, rate)
        if not samples.size:
            return Finished()
        plain = np.asarray(samples, np.float32)
        handle = self._started(lambda output: output.start(plain, rate, loop, self._volume))
        self._last = handle
        return handle

    def stream(
        self, samples: NDArray[np.floating], rate: int = 44100, *, seconds: float = 600.0
    ) -> Stream | None:
        """Start to play mono samples, shape (n,), that will be added to; ``seconds``: to so many at most.

        None where the library can only play what is whole; else as ``play``. Raises ValueError for another
        shape or a rate out of range.
        """
        _check(samples, rate)
        plain = np.asarray(samples, np.float32)
        handle = self._started(lambda output: output.stream(plain, rate, self._volume, seconds))
        self._last = handle or self._last
        return handle

    def _started(self, start: Callable[[Output], _Started]) -> _Started:
        """What is started on the output that is there, or on the next one that is."""
        try:
            return start(self._output)
        except NoSound:
            self._reopen()
        try:
            return start(self._output)
        except NoSound:
            self._output.close()
            self._output = self._openers[-1]()
            return start(self._output)

    def refresh(self) -> bool:
        """Look for a device again where there was none or it has gone; True when the library has changed.

        Costs a few ms, and nothing where sound works: call it now and then, or when a learner asks.
        """
        if self._output.name != "silent" and self._output.alive:
            return False
        before = self._output.name
        self._reopen()
        return self._output.name != before

    def _reopen(self) -> None:
        self._output.close()
        self._output = self._open()

    def close(self) -> None:
        """Stop all sounds and let the device go."""
        self._output.close()
