"""From a pattern to samples: tempo, count-in, click, loudness.

Conventions: samples are float32 arrays of shape (n,), mono, full scale 1, at ``rate`` samples a second. A
tempo is in beats a minute of the beat that the meter counts. Every pattern is brought to the same loudness
(ITU-R BS.1770), so that nothing but the rhythm tells two of them apart.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from drillapp.music import Meter, Pattern, Stroke
from drillapp.music.slots import Number
from drillapp.sound.bank_files import stroke_bank
from drillapp.sound.clicks import click
from drillapp.sound.loudness import gain_to, loudness
from drillapp.sound.mixing import mix, mix_loop
from drillapp.sound.strokes import Bank, Samples

LOUDNESS = -20.0
"""Loudness in LUFS that every pattern is brought to."""
PEAK = 0.89
"""Highest sample there is: 1 dB below full scale."""
ENDING = 0.25
"""Time in s in which the strings fade after the last bar."""
TEMPOS = (20.0, 400.0)
"""Tempos in beats a minute between which a pattern is played."""


class Strummed(Protocol):
    """Strokes in time: a pattern, or what somebody played."""

    @property
    def strokes(self) -> tuple[Stroke, ...]: ...
    @property
    def stops(self) -> tuple[Fraction, ...]: ...
    @property
    def length(self) -> Fraction: ...
    @property
    def meter(self) -> Meter: ...
    @property
    def tempo(self) -> Number: ...
    def seconds(self, at: Fraction, /) -> float: ...


def checked_tempo(pattern: Strummed, tempo: Number | None) -> float:
    """The tempo, or the pattern's own where None. Raises ValueError for one out of TEMPOS."""
    chosen = float(pattern.tempo if tempo is None else tempo)
    low, high = TEMPOS
    if not low <= chosen <= high:
        raise ValueError(f"tempo {chosen:g} must lie between {low:g} and {high:g} beats a minute")
    return chosen


def pattern_clock(pattern: Strummed, tempo: float, rate: int) -> Callable[[Fraction], int]:
    """What turns an instant of a pattern, in quarters, into a sample from its start."""
    stretch = float(pattern.tempo) / tempo * rate

    def sample(at: Fraction) -> int:
        return round(pattern.seconds(at) * stretch)

    return sample


def _bar_seconds(meter: Meter, at: Fraction, tempo: float) -> float:
    return float(at / meter.unit) * 60 / tempo


def count_in_samples(
    pattern: Strummed, tempo: Number | None = None, rate: int = 44100, count_in: int = 0
) -> int:
    """How many samples of ``render`` come before the first beat, for ``count_in`` bars of clicks."""
    if count_in < 0:
        raise ValueError(f"count_in {count_in} must be 0 or more bars")
    bar = _bar_seconds(pattern.meter, pattern.meter.length, checked_tempo(pattern, tempo))
    return round(count_in * bar * rate)


def onset_samples(
    pattern: Pattern, tempo: Number | None = None, rate: int = 44100, count_in: int = 0
) -> NDArray[np.int64]:
    """The sample of ``render`` at which each stroke begins, shape (strokes,), for the same arguments."""
    sample = pattern_clock(pattern, checked_tempo(pattern, tempo), rate)
    before = count_in_samples(pattern, tempo, rate, count_in)
    return np.array([before + sample(stroke.at) for stroke in pattern.strokes], np.int64)


def bar_clicks(meter: Meter, tempo: float, rate: int, bars: int) -> list[tuple[int, bool]]:
    """The sample of each beat of some bars, and whether it is the first of its bar."""
    marks = []
    for bar in range(bars):
        at = bar * meter.length
        for index, beat in enumerate(meter.beats):
            marks.append((round(_bar_seconds(meter, at, tempo) * rate), index == 0))
            at += beat
    return marks


def add_clicks(out: Samples, marks: Sequence[tuple[int, bool]], rate: int, wrap: bool = False) -> None:
    """Add a click at each of ``marks``; with ``wrap``, what runs over the end sounds at the start."""
    for start, downbeat in marks:
        knock = click(rate, downbeat)
        fits = knock[: max(0, len(out) - start)]
        out[start : start + len(fits)] += fits
        if wrap:
            rest = knock[len(fits) :][: len(out)]
            out[: len(rest)] += rest


def limited(samples: Samples, always: bool = False) -> Samples:
    """The samples with those above PEAK bent down smoothly, for the few patterns whose peaks are so high.

    ``always``: bend even where no peak is so high, so that pieces of one sound are treated alike.
    """
    if not len(samples) or (not always and float(np.abs(samples).max()) <= PEAK):
        return samples
    knee = np.float32(0.6)
    over = np.abs(samples) > knee
    excess = (np.abs(samples[over]) - knee) / np.float32(PEAK - knee)
    samples[over] = np.sign(samples[over]) * (knee + np.float32(PEAK - knee) * np.tanh(excess))
    return samples


def _levelled(samples: Samples, rate: int) -> Samples:
    """The samples at LOUDNESS, none above PEAK."""
    for _ in range(3):
        gain = gain_to(LOUDNESS, loudness(samples, rate))
        samples *= np.float32(gain)
        if float(np.abs(samples).max(initial=0.0)) <= PEAK:
            break
        samples = limited(samples)
    return samples


def render(
    pattern: Strummed,
    tempo: Number | None = None,
    chord: str = "G",
    rate: int = 44100,
    count_in: int = 0,
    *,
    voice: str = "steel",
    click: bool = False,
    seed: int = 0,
    bank: Bank | None = None,
) -> Samples:
    """A pattern's sound: float32, shape (n,), no sample above 1 in size.

    ``tempo`` in beats a minute (None: the pattern's own), ``count_in`` bars of clicks before it, ``click``
    on its beats, ``seed`` of the small differences between repeats, ``bank`` to mix from (None: the chord's
    and voice's own). The strings fade in ENDING s after the last bar. Raises ValueError for a tempo out of
    TEMPOS, or an unknown chord or voice.
    """
    speed = checked_tempo(pattern, tempo)
    strings = bank or stroke_bank(chord, voice, rate)
    sample = pattern_clock(pattern, speed, strings.rate)
    length = sample(pattern.length)
    played = mix(strings, pattern.strokes, pattern.stops, sample, length, round(ENDING * strings.rate), seed)
    played = _levelled(played, strings.rate)
    before = count_in_samples(pattern, speed, strings.rate, count_in)
    bars = round(pattern.length / pattern.meter.length)
    marks = bar_clicks(pattern.meter, speed, strings.rate, count_in)
    if click:
        under = bar_clicks(pattern.meter, speed, strings.rate, bars)
        marks += [(before + start, downbeat) for start, downbeat in under]
    if before:
        played = np.concatenate([np.zeros(before, np.float32), played])
    add_clicks(played, marks, strings.rate)
    return limited(played)


def render_loop(
    pattern: Pattern,
    tempo: Number | None = None,
    chord: str = "G",
    rate: int = 44100,
    *,
    voice: str = "steel",
    click: bool = False,
    seed: int = 0,
    bank: Bank | None = None,
) -> Samples:
    """One round of a pattern to be played over and over: float32, shape (n,), n its exact length.

    End to end the rounds join without a gap or a step: what rings at the end rings on at the start. Other
    arguments and errors are ``render``'s.
    """
    speed = checked_tempo(pattern, tempo)
    strings = bank or stroke_bank(chord, voice, rate)
    sample = pattern_clock(pattern, speed, strings.rate)
    length = sample(pattern.length)
    # What rings at the end of a round is stopped by a rest at the start of the next.
    resting = pattern.places[0].slot.action == "rest"
    stops = (Fraction(0), *pattern.stops) if resting else tuple(pattern.stops)
    played = _levelled(mix_loop(strings, pattern.strokes, stops, sample, length, seed), strings.rate)
    if click:
        bars = round(pattern.length / pattern.meter.length)
        add_clicks(played, bar_clicks(pattern.meter, speed, strings.rate, bars), strings.rate, wrap=True)
    return limited(played)
