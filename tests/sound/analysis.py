"""Published ways to hear onsets, pitches and notes in samples, on numpy and scipy.

Mel bands: Slaney, Auditory Toolbox, Interval Research technical report 1998-010. Onset strength: Böck and
Widmer, Maximum filter vibrato suppression for onset detection, DAFx 2013. Its peaks: Böck, Krebs and Schedl,
Evaluating the online capabilities of onset detection methods, ISMIR 2012. Pitch: de Cheveigné and Kawahara,
YIN, JASA 111 (2002). Chroma: Fujishima, Realtime chord recognition of musical sound, ICMC 1999. librosa has
all of these and gives the same onsets; it compiles them with numba, whose cache kills processes that share it
(numba's issue 10128).

Conventions: mono samples, rates in Hz, one row a band and one column a frame; frame n is centred on sample
n times the hop.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d
from scipy.signal import correlate
from scipy.signal.windows import hann

Floats = NDArray[np.floating]


def power(samples: Floats, window: int, hop: int) -> Floats:
    """Power in each bin of a Fourier transform of ``window`` samples, under a Hann window."""
    frames = np.lib.stride_tricks.sliding_window_view(np.pad(samples, window // 2), window)[::hop]
    return (np.abs(np.fft.rfft(frames * hann(window, sym=False), axis=1)) ** 2).T


def mel_frequencies(count: int, top: float) -> Floats:
    """``count`` frequencies in Hz from 0 to ``top``, evenly spaced in mel."""
    # 200/3 Hz a mel up to 1000 Hz, which is mel 15; above, 27 mel for every factor of 6.4.
    mels = np.linspace(0, 15 + 27 * np.log(top / 1000) / np.log(6.4), count)
    return np.where(mels < 15, mels * 200 / 3, 1000 * 6.4 ** ((mels - 15) / 27))


def mel_decibels(samples: Floats, rate: int, window: int, hop: int, bands: int, top: float) -> Floats:
    """Level of each mel band in dB under the loudest, at least -80."""
    edges = mel_frequencies(bands + 2, top)
    bins = np.arange(window // 2 + 1) * rate / window
    rise = (bins - edges[:-2, None]) / np.diff(edges)[:-1, None]
    fall = (edges[2:, None] - bins) / np.diff(edges)[1:, None]
    triangles = np.maximum(0, np.minimum(rise, fall)) * (2 / (edges[2:] - edges[:-2]))[:, None]
    levels = 10 * np.log10(np.maximum(triangles @ power(samples, window, hop), 1e-10))
    return np.maximum(levels - levels.max(), -80)


def onset_strength(decibels: Floats, lag: int = 1, width: int = 1) -> Floats:
    """How much the bands grow louder on the mean, against ``lag`` frames before.

    A band is compared with the loudest of the ``width`` bands around it, so that vibrato is no onset.
    """
    growth = np.maximum(0, decibels[:, lag:] - maximum_filter1d(decibels, width, axis=0)[:, :-lag])
    return np.pad(growth.mean(axis=0), (lag, 0))


def peaks(
    strength: Floats, delta: float, wait: int, before: int, after: int, around: int
) -> NDArray[np.int64]:
    """Frames at which the strength is the largest from ``before`` to ``after`` frames away, is more than
    ``delta`` of its range above the mean of ``around`` frames to both sides, and comes more than ``wait``
    frames after the last.
    """
    scaled = (strength - strength.min()) / np.ptp(strength)
    size = before + after + 1
    largest = scaled == maximum_filter1d(scaled, size, origin=(before - after) // 2, mode="nearest")
    found: list[int] = []
    for frame in np.flatnonzero(largest):
        mean = scaled[max(0, frame - around) : frame + around + 1].mean()
        if scaled[frame] >= mean + delta and (not found or frame - found[-1] > wait):
            found.append(frame)
    return np.array(found, dtype=np.int64)


def pitches(samples: Floats, rate: int, lowest: float, highest: float, window: int, hop: int) -> Floats:
    """The fundamental in Hz in each stretch of ``window`` samples, between two frequencies."""
    first, last = int(rate / highest), int(np.ceil(rate / lowest))
    found = []
    for start in range(0, len(samples) - window + 1, hop):
        stretch = samples[start : start + window].astype(float)
        size = window - last
        fixed = stretch[:size]
        energies = np.concatenate([[0.0], np.cumsum(stretch**2)])
        energies = energies[size : size + last + 1] - energies[: last + 1]
        difference = energies[0] + energies - 2 * correlate(stretch, fixed, "valid")[: last + 1]
        lags = np.arange(1, last + 1)
        normal = difference[1:] * lags / np.cumsum(difference[1:])
        dips = [
            lag
            for lag in range(max(first, 2), last)
            if normal[lag - 1] < 0.1 and normal[lag - 2] > normal[lag - 1] <= normal[lag]
        ]
        lag = dips[0] if dips else int(np.argmin(normal[first - 1 : last - 1])) + first
        left, middle, right = normal[lag - 2 : lag + 1]
        found.append(rate / (lag + (left - right) / (left - 2 * middle + right) / 2))
    return np.array(found)


def chroma(samples: Floats, rate: int, window: int, hop: int) -> Floats:
    """Power of each of the twelve notes of equal temperament (C first, A4 = 440 Hz) from 55 to 1760 Hz."""
    bins = np.arange(window // 2 + 1) * rate / window
    heard = (bins >= 55) & (bins <= 1760)
    notes = np.round(12 * np.log2(bins[heard] / 440) + 9).astype(int) % 12
    folded = np.zeros((12, heard.sum()))
    folded[notes, np.arange(heard.sum())] = 1
    return folded @ power(samples, window, hop)[heard]
