"""Clicks: the count-in, and a click under a pattern.

Conventions: samples are float32 of shape (n,); a click's sample 0 is its instant. The first beat of a bar
is marked by a higher, louder click (common practice).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float32]

DOWNBEAT = 1760.0
"""Pitch in Hz of the click on a bar's first beat."""
BEAT = 1174.66
"""Pitch in Hz of the click on the other beats."""
_LENGTH = 0.06


@lru_cache(maxsize=16)
def click(rate: int, downbeat: bool) -> Samples:
    """One click, some 60 ms of a woody knock."""
    time = np.arange(round(_LENGTH * rate)) / rate
    pitch = DOWNBEAT if downbeat else BEAT
    knock = np.sin(2 * np.pi * pitch * time) + 0.4 * np.sin(2 * np.pi * 2.7 * pitch * time)
    fall = np.exp(-time / 0.012) * np.minimum(1, time / 0.0005) * np.cos(np.pi / 2 * time / _LENGTH)
    made: Samples = ((0.30 if downbeat else 0.2) * knock * fall).astype(np.float32)
    made.flags.writeable = False
    return made
