"""Programme loudness of mono sound, after ITU-R BS.1770.

Conventions: samples are float arrays of shape (n,), full scale 1; loudness is in LUFS. The K-weighting is a
high shelf and a high-pass; their analogue parameters are the ones that give the standard's table of
coefficients at 48 kHz, so that other rates weight alike. The two filters are applied as one finite response
(it is 80 dB down long before its end), by overlap-save, since numpy has no recursive filter.
"""

from __future__ import annotations

from functools import lru_cache
from math import pi, tan

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float32]

BLOCK = 0.4
"""Length of a gating block in s; blocks overlap by three quarters."""
ABSOLUTE_GATE = -70.0
RELATIVE_GATE = -10.0
_TABLE_TOP = 1 + 1.99004745483398 + 0.99007225036621
# The standard's table leaves the high-pass a hair above unity; other rates get that same gain.
_TAPS = 4096
_FFT = 16384


def _shelf(rate: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    k = tan(pi * 1681.974450955533 / rate)
    q, high = 0.7071752369554196, 10 ** (3.999843853973347 / 20)
    band = high**0.4996667741545416
    norm = 1 + k / q + k * k
    b = np.array([high + band * k / q + k * k, 2 * (k * k - high), high - band * k / q + k * k]) / norm
    return b, np.array([1.0, 2 * (k * k - 1) / norm, (1 - k / q + k * k) / norm])


def _high_pass(rate: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    k, q = tan(pi * 38.13547087602444 / rate), 0.5003270373238773
    norm = 1 + k / q + k * k
    a = np.array([1.0, 2 * (k * k - 1) / norm, (1 - k / q + k * k) / norm])
    top = (a[0] - a[1] + a[2]) / _TABLE_TOP
    return top * np.array([1.0, -2.0, 1.0]), a


def k_weighting_coefficients(rate: int) -> tuple[tuple[NDArray[np.float64], NDArray[np.float64]], ...]:
    """The two filters of the K-weighting as (b, a) each, for a sampling rate in Hz."""
    return _shelf(rate), _high_pass(rate)


@lru_cache(maxsize=4)
def _response(rate: int) -> NDArray[np.complex64]:
    z = np.exp(-2j * pi * np.arange(_FFT * 4 // 2 + 1) / (_FFT * 4))
    both = np.ones_like(z)
    for b, a in k_weighting_coefficients(rate):
        both *= (b[0] + b[1] * z + b[2] * z * z) / (a[0] + a[1] * z + a[2] * z * z)
    kernel = np.fft.irfft(both)[:_TAPS]
    return np.fft.rfft(kernel, _FFT).astype(np.complex64)


def k_weighted(samples: NDArray[np.floating], rate: int) -> Samples:
    """The samples after the K-weighting of BS.1770, same shape, for a rate in Hz."""
    step = _FFT - _TAPS
    blocks = -(-len(samples) // step)
    padded = np.zeros(_TAPS + blocks * step, np.float32)
    padded[_TAPS : _TAPS + len(samples)] = samples
    framed = np.lib.stride_tricks.sliding_window_view(padded, _FFT)[::step]
    filtered = np.fft.irfft(np.fft.rfft(framed, axis=1) * _response(rate), axis=1)[:, _TAPS:]
    return filtered.astype(np.float32, copy=False).reshape(-1)[: len(samples)]


def loudness(samples: NDArray[np.floating], rate: int) -> float:
    """Gated loudness in LUFS of mono samples, -inf where all blocks are below the absolute gate.

    Sound that is shorter than one gating block is taken as one block. Source: ITU-R BS.1770, one channel of
    weight 1.
    """
    weighted = k_weighted(samples, rate)
    step = round(rate * BLOCK / 4)
    if len(weighted) < 4 * step:
        weighted = np.pad(weighted, (0, 4 * step - len(weighted)))
    quarters = weighted[: len(weighted) // step * step].reshape(-1, step)
    energy = np.einsum("ij,ij->i", quarters, quarters).astype(np.float64)
    power = np.convolve(energy, np.ones(4), "valid") / (4 * step)
    with np.errstate(divide="ignore"):
        level = -0.691 + 10 * np.log10(power)
    loud = level > ABSOLUTE_GATE
    if not loud.any():
        return float("-inf")
    gate = -0.691 + 10 * np.log10(power[loud].mean()) + RELATIVE_GATE
    kept = power[loud & (level > gate)]
    return float(-0.691 + 10 * np.log10(kept.mean()))


def gain_to(target: float, measured: float) -> float:
    """Factor that brings sound of a measured loudness to a target loudness, both in LUFS; 1 for silence.

    >>> round(gain_to(-23, -29), 3)
    1.995
    """
    return 1.0 if measured == float("-inf") else 10 ** ((target - measured) / 20)
