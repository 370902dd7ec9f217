"""A plucked string: a delay line in a loop with a loss filter, excited by a pluck.

The model is Karplus and Strong's (Computer Music Journal 7(2), 1983, 43-55) with Jaffe and Smith's
extensions (same issue, 56-69): an all-pass for exact tuning, a loss factor and weighted two-point averages
for the decay, a comb for the place of the pick and a low-pass for its softness and for dynamics.

Conventions: rates and frequencies in Hz, times in s. The loop is linear and does not change while it
sounds, so numpy solves it at once instead of sample by sample: output = excitation / (1 - loop), evaluated
on a circle a little outside the unit circle (so that what is left at the end of the buffer does not fold
back to its start) and transformed back. That is exact to about -100 dB.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import cos, pi, sin, sqrt

import numpy as np
from numpy.typing import NDArray

from drillapp.sound.voices import Resonance

Spectrum = NDArray[np.complex128]

HIGH = 3000.0
"""Frequency in Hz of the second, higher decay time."""
_FOLD = 1e-4


@dataclass(frozen=True)
class Loop:
    """The delay, all-pass and loss filters of one string at one sampling rate.

    ``delay`` whole samples, all-pass coefficient ``tuning``, then ``averages`` two-point averages that
    weight the older sample by ``stretch``, then the factor ``loss``.
    """

    rate: int
    delay: int
    tuning: float
    averages: int
    stretch: float
    loss: float

    def spectrum(self, delayed: Spectrum, period: Spectrum) -> Spectrum:
        """The loop's gain; ``delayed`` is a delay of one sample, ``period`` one of ``delay`` samples."""
        allpass = (self.tuning + delayed) / (1 + self.tuning * delayed)
        average = (1 - self.stretch) + self.stretch * delayed
        gain = period * allpass * self.loss
        for _ in range(self.averages):
            gain *= average
        return np.asarray(gain, np.complex128)


def _averages(frequency: float, rate: int, ratio: float) -> tuple[int, float]:
    """How many two-point averages of what weight give HIGH ``ratio`` of the fundamental's gain a period."""
    low, high = 1 - cos(2 * pi * frequency / rate), 1 - cos(2 * pi * HIGH / rate)
    for count in range(1, 257):
        part = ratio ** (2 / count)
        weight = (1 - part) / (2 * (high - part * low))
        if weight <= 0.25:
            return count, (1 - sqrt(1 - 4 * weight)) / 2
    raise ValueError(f"no string decays that unevenly at {frequency:.1f} Hz: give closer decay times")


def design_loop(frequency: float, rate: int, decay: float, decay_high: float) -> Loop:
    """The loop of a string that falls 60 dB in ``decay`` s, and in ``decay_high`` s at HIGH.

    Source: Jaffe and Smith 1983, for the two-point average's gain and delay, and the all-pass coefficient C
    = sin((w - w d) / 2) / sin((w + w d) / 2) that delays the fundamental by d samples. Raises ValueError
    where decay_high is longer than decay, or the frequency is not below an eighth of the rate.
    """
    if not 0 < frequency < rate / 8:
        raise ValueError(
            f"frequency {frequency} Hz must be above 0 and below an eighth of the rate {rate} Hz"
        )
    if not 0 < decay_high <= decay:
        raise ValueError(f"decay_high {decay_high} s must be above 0 and at most decay {decay} s")
    omega = 2 * pi * frequency / rate
    wanted = 10 ** (-3 / (frequency * decay))
    count, stretch = _averages(frequency, rate, 10 ** (-3 / (frequency * decay_high)) / wanted)
    average = (1 - stretch) + stretch * np.exp(-1j * omega)
    loss = wanted / abs(average) ** count
    rest = rate / frequency + count * float(np.angle(average)) / omega
    delay = int(rest - 0.1)
    part = rest - delay
    tuning = sin((omega - omega * part) / 2) / sin((omega + omega * part) / 2)
    return Loop(rate, delay, tuning, count, stretch, loss)


@lru_cache(maxsize=8)
def _circle(size: int) -> tuple[Spectrum, NDArray[np.float64]]:
    """A one-sample delay at each frequency, a little outside the unit circle; and its unfolding in time."""
    inward = _FOLD ** (1 / size)
    delayed = inward * _turns(size)[: size // 2 + 1]
    return delayed, np.exp(-np.log(inward) * np.arange(size))


@lru_cache(maxsize=8)
def _turns(size: int) -> Spectrum:
    """The unit circle in ``size`` steps."""
    half = np.exp(-2j * pi * np.arange(size // 2 + 1) / size)
    return np.concatenate([half, half[-2:0:-1].conj()])


def _delay(size: int, samples: int) -> Spectrum:
    """A delay of ``samples`` at each frequency, read from the circle's own turns: no new exponentials."""
    turns = np.arange(size // 2 + 1, dtype=np.int64) * samples % size
    return np.asarray(_FOLD ** (samples / size) * _turns(size)[turns], np.complex128)


def forget() -> None:
    """Drop what is kept from one string to the next: tens of megabytes of no use to a finished bank."""
    for kept in (_circle, _turns, _soft):
        kept.cache_clear()


def string_spectrum(loop: Loop, size: int) -> Spectrum:
    """1 / (1 - loop) for a transform of ``size`` samples: what the string does to a pluck."""
    delayed, _ = _circle(size)
    return 1 / (1 - loop.spectrum(delayed, _delay(size, loop.delay)))


@dataclass(frozen=True)
class Pluck:
    """One way of setting a string going.

    ``position`` share of the string from the bridge; ``warmth`` and ``softness`` corners in Hz of the two
    low-passes; ``scrape`` level and ``scrape_time`` length in s of the pick's noise, ``seed`` of it;
    ``release`` strength of the string's jump from the pick.
    """

    position: float
    warmth: float
    softness: float
    scrape: float
    seed: int
    scrape_time: float = 0.004
    release: float = 1.0


@lru_cache(maxsize=32)
def _soft(warmth: float, softness: float, rate: int, size: int) -> Spectrum:
    """What a soft pick takes away: a low-pass for the whole spectrum's slope, and two for its edge."""
    delayed, _ = _circle(size)
    poles = [float(np.exp(-2 * pi * corner / rate)) for corner in (warmth, softness)]
    slope, edge = ((1 - pole) / (1 - pole * delayed) for pole in poles)
    return np.asarray(slope * edge * edge, np.complex128)


def pluck_spectrum(pluck: Pluck, period: float, rate: int, size: int) -> Spectrum:
    """A pluck's excitation for a transform of ``size`` samples; ``period`` is the string's, in samples."""
    comb = 1 - _delay(size, max(1, round(pluck.position * period)))
    comb *= _soft(pluck.warmth, pluck.softness, rate, size)
    if not pluck.scrape:
        comb *= pluck.release
        return comb
    burst = max(8, round(pluck.scrape_time * rate))
    noise = np.random.default_rng(pluck.seed).standard_normal(burst) * np.hanning(2 * burst)[burst:]
    noise *= pluck.scrape
    noise[0] += pluck.release
    comb *= np.fft.rfft(noise * _FOLD ** (np.arange(burst) / size), size)
    return comb


def contact_noise(
    pluck: Pluck, period: float, rate: int, size: int, low: float = 2200.0, time: float = 0.002
) -> Spectrum:
    """The noise of a pick on a string beside the string's tone, for a transform of ``size`` samples.

    White noise that falls with time constant ``time`` s; the string on the bridge's side of the pick carries
    it, so that it has the comb of the pick's place, but it does not run round the loop. A string of little
    mass moves the body only high up: two high-passes at ``low`` Hz, and the pick's own softness above.
    """
    burst = round(6 * time * rate)
    noise = np.random.default_rng(pluck.seed + 50_000).standard_normal(burst)
    noise *= np.exp(-np.arange(burst) / (time * rate)) * np.hanning(2 * burst)[burst:]
    delayed, _ = _circle(size)
    pole = float(np.exp(-2 * pi * low / rate))
    high = (1 + pole) / 2 * (1 - delayed) / (1 - pole * delayed)
    edge = float(np.exp(-2 * pi * pluck.softness / 1.5 / rate))
    soft = (1 - edge) / (1 - edge * delayed)
    comb = 1 - _delay(size, max(1, round(pluck.position * period)))
    noise *= _FOLD ** (np.arange(burst) / size)
    return np.asarray(np.fft.rfft(noise, size) * comb * (high * soft) ** 2, np.complex128)


def body_spectrum(body: tuple[Resonance, ...], direct: float, rate: int, size: int) -> Spectrum:
    """What a body of second-order resonances adds to its strings, for a transform of ``size`` samples."""
    delayed, _ = _circle(size)
    total = np.full(len(delayed), direct, np.complex128)
    squared = delayed * delayed
    for mode in body:
        omega = 2 * pi * mode.frequency / rate
        radius = float(np.exp(-omega / (2 * mode.sharpness)))
        peak = (1 - squared) / (1 - 2 * radius * cos(omega) * delayed + radius * radius * squared)
        total += mode.gain * (1 - radius * radius) / 2 * peak
    return total


def sound(spectrum: Spectrum, size: int) -> NDArray[np.float32]:
    """Samples, shape (size,), of a spectrum made for a transform of that size."""
    return np.asarray(np.fft.irfft(spectrum, size) * _circle(size)[1], np.float32)
