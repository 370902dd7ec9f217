"""No sound: keeps the time of what would have played, so that the app goes on."""

from __future__ import annotations

from time import monotonic

import numpy as np
from numpy.typing import NDArray


class _SilentHandle:
    def __init__(self, seconds: float) -> None:
        self._seconds = seconds
        self._started = monotonic()

    @property
    def position(self) -> float | None:
        return min(monotonic() - self._started, self._seconds)

    @property
    def playing(self) -> bool:
        return monotonic() - self._started < self._seconds

    def stop(self) -> None:
        self._seconds = 0.0

    def turn(self, volume: float) -> None:
        """Nothing is heard at any volume."""


class _SilentStream(_SilentHandle):
    """Time that goes on while samples are added; where none are left it waits for more."""

    def __init__(self, seconds: float, rate: int) -> None:
        super().__init__(seconds)
        self._rate = rate
        self._stopped = False

    @property
    def playing(self) -> bool:
        return not self._stopped

    def stop(self) -> None:
        self._stopped = True

    def extend(self, samples: NDArray[np.float32]) -> None:
        now = monotonic()
        # Time in which there was nothing to play does not count.
        self._started = max(self._started, now - self._seconds)
        self._seconds += len(samples) / self._rate


class SilentOutput:
    """Plays nothing, for as long as the sound would have lasted."""

    name = "silent"
    latency = 0.0
    alive = True

    def start(self, samples: NDArray[np.float32], rate: int, loop: bool, volume: float) -> _SilentHandle:
        return _SilentHandle(float("inf") if loop else len(samples) / rate)

    def stream(self, samples: NDArray[np.float32], rate: int, volume: float, seconds: float) -> _SilentStream:
        return _SilentStream(len(samples) / rate, rate)

    def close(self) -> None:
        """There is nothing to let go."""


def open_output() -> SilentOutput:
    """The silent output; never fails."""
    return SilentOutput()
