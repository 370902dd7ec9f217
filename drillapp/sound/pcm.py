"""Samples as 16-bit integers, which files and some devices take.

Conventions: samples are float arrays of full scale 1.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def to_16_bit(samples: NDArray[np.floating]) -> NDArray[np.int16]:
    """Samples as 16-bit integers; what lies beyond full scale is clipped.

    >>> to_16_bit(np.array([0.0, 1.0, -2.0], np.float32)).tolist()
    [0, 32767, -32767]
    """
    return np.asarray(np.round(np.clip(samples, -1.0, 1.0) * 32767), np.int16)
