"""A pattern's sound, mixed string by string from a stroke bank, exact to the sample.

Conventions: instants are whole samples from the start of the first beat. A stroke's first string is plucked
exactly at the stroke's own sample; the other strings follow it in the direction of the hand. A new stroke
replaces only the strings that it strikes; a muted stroke, and a rest, stop them all. Small differences
between repeats come from a stroke's own place in the pattern, so that the same place sounds the same in two
patterns.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from drillapp.music import Stroke
from drillapp.sound.strokes import FULL, TAKES, UP_STRINGS, Bank, Samples, StringTakes, Take

STRING_COUNT = 6
SWEEP_DOWN = 0.020
"""Time in s of a down-stroke over six strings."""
SWEEP_UP = 0.011
"""Time in s of an up-stroke over the upper strings."""
SWEEP_MUTED = 0.014
STOP = 0.030
"""Time in s in which a rest stops the strings."""
ACCENT = 10 ** (3.7 / 20)
"""An accent's factor on a ringing stroke; its brighter attack makes it 4.7 dB (from memory: 3 to 5)."""
ACCENT_MUTED = 10 ** (4.6 / 20)
_REPLACE = 0.004
_HUSH = 0.012


@dataclass(frozen=True)
class _Sounding:
    """What one string does from ``start`` on: takes at a gain, or nothing; what was ends in ``fade``."""

    start: int
    fade: int
    takes: tuple[Take, ...] = ()
    gain: float = 0.0


Line = list[_Sounding]


@lru_cache(maxsize=64)
def _fall(length: int) -> NDArray[np.float32]:
    """Half a cosine from 1 to 0 in ``length`` samples."""
    fall = (0.5 + 0.5 * np.cos(np.pi * (np.arange(length) + 0.5) / length)).astype(np.float32)
    fall.flags.writeable = False
    return fall


def _takes(string: StringTakes, stroke: Stroke, take: int) -> tuple[Take, ...]:
    up = stroke.hand == "up" and string.up is not None
    if stroke.muted:
        return ((string.up_mutes if up else string.mutes)[take],)
    ring = string.up if up and string.up is not None else string.down
    return (ring.body, (ring.accents if stroke.accent else ring.attacks)[take])


@lru_cache(maxsize=512)
def _chances(seed: int, at: Fraction) -> tuple[int, float, tuple[float, ...], tuple[float, ...]]:
    """What is left to chance in a stroke: which take, its haste, and each string's lateness and force."""
    rng = np.random.default_rng((seed, at.numerator, at.denominator))
    late, force = rng.uniform(-1, 1, (2, STRING_COUNT)).tolist()
    return int(rng.integers(TAKES)), rng.uniform(-1, 1), tuple(late), tuple(force)


def _strike(lines: Sequence[Line], bank: Bank, stroke: Stroke, start: int, seed: int) -> None:
    rate, up = bank.rate, stroke.hand == "up"
    sounding = [index for index, string in enumerate(bank.strings) if string is not None]
    struck = sounding[-min(UP_STRINGS, len(sounding) - 1) :] if up else sounding
    take, haste, lateness, forces = _chances(seed, stroke.at)
    sweep = SWEEP_MUTED if stroke.muted else SWEEP_UP if up else SWEEP_DOWN
    step = sweep / ((UP_STRINGS if up else STRING_COUNT) - 1) * (1 + 0.03 * haste)
    loud = (ACCENT_MUTED if stroke.muted else ACCENT) if stroke.accent else 1.0
    fade = round(_REPLACE * rate)
    for place, index in enumerate(struck[::-1] if up else struck):
        string = bank.strings[index]
        if string is None:
            continue
        late = place * step * (1 + 0.03 * lateness[place])
        # The hand loses force as it crosses the strings, so a stroke is fuller on the side where it begins.
        gain = 10 ** (0.4 * forces[place] / 20) * (1 - (0.12 if up else 0.07) * place)
        takes = _takes(string, stroke, (take + index) % TAKES)
        lines[index].append(_Sounding(start + round(late * rate), fade, takes, gain * loud))
    if stroke.muted:
        for index in set(sounding) - set(struck):
            lines[index].append(_Sounding(start, round(_HUSH * rate)))


def _add(out: Samples, at: int, take: Take, gain: float, length: int, fade: int) -> None:
    """Add a take that is let go after ``length`` samples and gone ``fade`` samples later."""
    part: Samples = np.multiply(take[: length + fade], np.float32(gain / FULL), dtype=np.float32)
    if len(part) > length:
        part[length:] *= _fall(fade)[: len(part) - length]
    out[at : at + len(part)] += part


def _play(out: Samples, line: Line, end: int, fade: int) -> None:
    for now, following in pairwise([*line, _Sounding(end, fade)]):
        for take in now.takes:
            _add(out, now.start, take, now.gain, following.start - now.start, following.fade)


def _lines(
    bank: Bank,
    strokes: Sequence[Stroke],
    stops: Sequence[Fraction],
    sample: Callable[[Fraction], int],
    seed: int,
) -> list[Line]:
    lines: list[Line] = [[] for _ in range(STRING_COUNT)]
    for stroke in strokes:
        _strike(lines, bank, stroke, sample(stroke.at), seed)
    for stop in stops:
        for line in lines:
            line.append(_Sounding(sample(stop), round(STOP * bank.rate)))
    for line in lines:
        line.sort(key=lambda sounding: sounding.start)
    return lines


def mix(
    bank: Bank,
    strokes: Sequence[Stroke],
    stops: Sequence[Fraction],
    sample: Callable[[Fraction], int],
    length: int,
    ending: int,
    seed: int = 0,
) -> Samples:
    """The sound of strokes and stops, shape (length + ending,): let go at ``length``, silent at the end.

    ``sample`` turns an instant in quarters into a sample; ``ending`` samples are the last fade.
    """
    out = np.zeros(length + ending, np.float32)
    for line in _lines(bank, strokes, stops, sample, seed):
        _play(out, line, length, ending)
    return out


def mix_loop(
    bank: Bank,
    strokes: Sequence[Stroke],
    stops: Sequence[Fraction],
    sample: Callable[[Fraction], int],
    length: int,
    seed: int = 0,
) -> Samples:
    """One round of an endless repeat, shape (length,): what rings at its end rings on at its start.

    Played end to end it joins exactly: each round is the same, and no string is let go at the join.
    """
    rounds = np.zeros((3, length), np.float32)
    flat = rounds.reshape(-1)
    for line in _lines(bank, strokes, stops, sample, seed):
        if line:
            first = line[0]
            _play(flat, line, first.start + length, first.fade)
    return np.asarray(rounds.sum(axis=0, dtype=np.float32))
