"""The stroke bank: what each string of a chord sounds like when it is struck down, up or muted.

Conventions: samples are float32 arrays of shape (n,) whose sample 0 is the instant of the pluck; strings
run from the low one (0) to the high one (5). A bank holds everything that a pattern in one chord, voice and
rate is mixed from. Repeats alternate between takes, so that they do not sound like a machine.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from drillapp.sound.chords import OPEN_STRINGS, chord_notes, frequency
from drillapp.sound.strings import (
    Pluck,
    Spectrum,
    body_spectrum,
    design_loop,
    pluck_spectrum,
    sound,
    string_spectrum,
)
from drillapp.sound.voices import Voice, find_voice

Samples = NDArray[np.float32]

TAKES = 2
"""Takes of each stroke."""
UP_STRINGS = 4
"""An up-stroke strikes at most so many of the upper strings, and never all that sound (common practice)."""
LONGEST = 5.9
"""Length in s of the longest take; what still rings then fades."""
BITE = 1.0
"""What an accent's brighter attack adds to its level, in dB."""
_SIZES = (131072, 163840, 196608, 262144)
_SHORT = 16384
_STEP = 1 / 32768
# A bank is kept to 16 bits wherever it comes from, so that one read from a file is the one that was made.
_DETUNE = (0.0, 0.7, -0.6, 0.5, -0.7, 0.4)
# Cents: nobody's strings agree exactly.


@dataclass(frozen=True)
class StringTakes:
    """The takes of one string: ringing after a down- or an up-stroke, muted, and the bite that an accent
    adds.
    """

    down: tuple[Samples, ...]
    up: tuple[Samples, ...]
    mute: tuple[Samples, ...]
    down_bite: Samples
    up_bite: Samples


@dataclass(frozen=True)
class Bank:
    """All takes of one chord in one voice at one rate; None for a string that the chord leaves out."""

    chord: str
    voice: str
    rate: int
    strings: tuple[StringTakes | None, ...]

    @property
    def size(self) -> int:
        """Bytes that the samples take."""
        return sum(take.nbytes for string in self.strings if string for take in all_takes(string))


def all_takes(string: StringTakes) -> tuple[Samples, ...]:
    """Every array of one string, in a fixed order."""
    return (*string.down, *string.up, *string.mute, string.down_bite, string.up_bite)


def _kept(samples: Samples, length: int, fade: int) -> Samples:
    """The first ``length`` samples, faded out over the last ``fade``, in steps of 16 bits."""
    kept: Samples = samples[:length].copy()
    kept[-fade:] *= (0.5 + 0.5 * np.cos(np.linspace(0, np.pi, fade))).astype(np.float32)
    kept = np.round(np.clip(kept, -1, 1 - _STEP) / np.float32(_STEP)) * np.float32(_STEP)
    kept.flags.writeable = False
    return kept


def _share(take: Samples, extra: Samples) -> float:
    """How much of ``extra`` makes a take louder by BITE: the root of a quadratic in the share."""
    square, cross, own = (float(np.dot(a, b)) for a, b in ((extra, extra), (take, extra), (take, take)))
    gain = 10 ** (BITE / 10) - 1
    return (-cross + sqrt(cross * cross + square * own * gain)) / square


@lru_cache(maxsize=16)
def _body(voice: Voice, rate: int, size: int) -> Spectrum:
    return body_spectrum(voice.body, voice.tops, rate, size)


def _ring_size(decay: float, rate: int) -> tuple[int, int]:
    length = round(min(decay, LONGEST) * rate)
    size = next((size for size in _SIZES if size >= length), _SIZES[-1])
    return size, min(size, length)


def _string(index: int, note: int, voice: Voice, rate: int) -> StringTakes:
    pitch = frequency(note + _DETUNE[index] / 100)
    # A fretted string decays a little faster than the open one.
    shorter = 2.0 ** (-(note - OPEN_STRINGS[index]) / 24)
    decay, high = voice.decay[index] * shorter, voice.decay_high[index] * shorter
    period, level = rate / pitch, voice.level[index]
    size, length = _ring_size(decay, rate)
    ring = string_spectrum(design_loop(pitch, rate, decay, high), size) * _body(voice, rate, size)
    brief = string_spectrum(design_loop(pitch, rate, decay, high), _SHORT) * _body(voice, rate, _SHORT)

    def plucks(base: Pluck) -> tuple[Pluck, ...]:
        return tuple(
            replace(base, position=base.position * (1 + 0.06 * take), seed=base.seed + 100 * take)
            for take in range(TAKES)
        )

    def takes(base: Pluck, strength: float) -> tuple[Samples, ...]:
        return tuple(
            _kept(sound(ring * pluck_spectrum(pluck, period, rate, size) * strength, size), length, rate)
            for pluck in plucks(base)
        )

    def bite(base: Pluck, take: Samples, strength: float) -> Samples:
        brighter = replace(
            base, warmth=base.warmth * 1.12, softness=base.softness * 1.6, scrape=base.scrape * 2
        )
        extra = pluck_spectrum(brighter, period, rate, _SHORT) - pluck_spectrum(base, period, rate, _SHORT)
        made = sound(brief * extra * strength, _SHORT)
        return _kept(made * np.float32(_share(take[:_SHORT], made)), _SHORT, _SHORT * 3 // 4)

    down = Pluck(voice.pick_position, voice.warmth, voice.pick, voice.scrape, seed=1000 + index)
    up = Pluck(
        voice.pick_position * 0.65,
        voice.warmth * 1.8,
        voice.pick * 1.2,
        voice.scrape * 1.3,
        seed=2000 + index,
    )
    damped = string_spectrum(design_loop(pitch, rate, 0.08, 0.045), _SHORT) * _body(voice, rate, _SHORT)
    scratch = Pluck(
        0.3, voice.warmth * 2.5, voice.pick, 0.9, seed=3000 + index, scrape_time=0.022, release=0.4
    )
    loud = _LOUDNESS * level
    strikes_up = index >= len(OPEN_STRINGS) - UP_STRINGS
    struck_down = takes(down, loud)
    struck_up = takes(up, loud * _UP) if strikes_up else ()
    return StringTakes(
        down=struck_down,
        up=struck_up,
        mute=tuple(
            _kept(
                sound(damped * pluck_spectrum(pluck, period, rate, _SHORT) * (loud * _MUTE), _SHORT),
                rate // 6,
                rate // 24,
            )
            for pluck in plucks(scratch)
        ),
        down_bite=bite(down, struck_down[0], loud),
        up_bite=bite(up, struck_up[0], loud * _UP) if strikes_up else _NOTHING,
    )


_LOUDNESS = 1.6
_UP = 0.68
_MUTE = 0.1
_NOTHING: Samples = np.zeros(0, np.float32)


def make_bank(chord: str = "G", voice: str = "steel", rate: int = 44100) -> Bank:
    """A new stroke bank, some 0.2 s of work; ValueError for an unknown chord or voice, or a rate out of
    range.
    """
    if not 8000 <= rate <= 96000:
        raise ValueError(f"rate {rate} Hz must lie between 8000 and 96000 Hz; 44100 and 48000 are usual")
    timbre = find_voice(voice)
    strings = tuple(
        None if note is None else _string(index, note, timbre, rate)
        for index, note in enumerate(chord_notes(chord))
    )
    return Bank(chord, voice, rate, strings)
