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


class SilentOutput:
    """Plays nothing, for as long as the sound would have lasted."""

    name = "silent"
    latency = 0.0
    alive = True

    def start(self, samples: NDArray[np.float32], rate: int, loop: bool) -> _SilentHandle:
        return _SilentHandle(float("inf") if loop else len(samples) / rate)

    def close(self) -> None:
        """There is nothing to let go."""


def open_output() -> SilentOutput:
    """The silent output; never fails."""
    return SilentOutput()
