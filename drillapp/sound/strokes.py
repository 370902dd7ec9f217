"""The stroke bank: what each string of a chord sounds like when it is struck down, up or muted.

Conventions: a take is an int16 array of shape (n,), FULL is full scale, whose sample 0 is the instant of the
pluck; strings run from the low one (0) to the high one (5). A bank holds everything that a pattern in one
chord, voice and rate is mixed from. Repeats alternate between takes, so that they do not sound like a
machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from drillapp.sound.chords import OPEN_STRINGS, chord_notes, frequency
from drillapp.sound.strings import (
    Loop,
    Pluck,
    Spectrum,
    body_spectrum,
    contact_noise,
    design_loop,
    forget,
    pluck_spectrum,
    sound,
    string_spectrum,
)
from drillapp.sound.voices import WOUND_TO_PLAIN, Voice, find_voice

Samples = NDArray[np.float32]
Take = NDArray[np.int16]

FULL = 32768
"""Full scale of a take: 16 bits are half the memory, and what a file of them holds."""

TAKES = 3
"""Takes of each stroke."""
UP_STRINGS = 4
"""An up-stroke strikes at most so many of the upper strings, and never all that sound (common practice)."""
LONGEST = 5.9
"""Length in s of the longest take; what still rings then fades."""
BITE = 0.5
"""What an accent's brighter attack adds to its level, in dB."""
WOUND = 3
"""So many of the low strings are wound (common practice, steel and nylon)."""
_STRENGTH, _UP, _MUTE = 1.6, 0.68, 0.1
# How strongly strings are plucked, and what an up-stroke and a muted one have of that.
_SIZE = 262144
_SHORT = 8192
_MUTE_SIZE = 16384
_SHORT_FALL = np.cos(np.linspace(0, np.pi / 2, _SHORT)).astype(np.float32) ** 2
_DETUNE = (0.0, 0.7, -0.6, 0.5, -0.7, 0.4)
# Cents: nobody's strings agree exactly.


@dataclass(frozen=True)
class Ring:
    """One string ringing: its long ``body``, and what each take adds to that body's start.

    ``attacks`` are for plain strokes, ``accents`` (brighter and a little louder) for accented ones.
    """

    body: Take
    attacks: tuple[Take, ...]
    accents: tuple[Take, ...]


@dataclass(frozen=True)
class StringTakes:
    """One string after down-strokes and up-strokes, ringing and muted; no up where that does not reach."""

    down: Ring
    mutes: tuple[Take, ...]
    up: Ring | None = None
    up_mutes: tuple[Take, ...] = ()


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


def all_takes(string: StringTakes) -> tuple[Take, ...]:
    """Every array of one string, in a fixed order: ``from_takes`` reads them back."""

    def parts(ring: Ring, mutes: tuple[Take, ...]) -> tuple[Take, ...]:
        return (ring.body, *ring.attacks, *ring.accents, *mutes)

    up = () if string.up is None else parts(string.up, string.up_mutes)
    return (*parts(string.down, string.mutes), *up)


def from_takes(takes: Sequence[Take]) -> StringTakes:
    """One string from its arrays in the order of ``all_takes``; ValueError for any other number of them."""
    size = 1 + 3 * TAKES
    if len(takes) not in (size, 2 * size):
        raise ValueError(f"{len(takes)} arrays do not make a string")

    def ring(part: Sequence[Take]) -> tuple[Ring, tuple[Take, ...]]:
        attacks, accents, mutes = (tuple(part[1 + n * TAKES :][:TAKES]) for n in range(3))
        return Ring(part[0], attacks, accents), mutes

    down = ring(takes[:size])
    return StringTakes(*down, *ring(takes[size:])) if len(takes) > size else StringTakes(*down)


def _kept(samples: Samples, length: int, fade: int) -> Take:
    """The first ``length`` samples, faded out over the last ``fade``."""
    scaled: Samples = samples[:length] * np.float32(FULL)
    scaled[-fade:] *= (0.5 + 0.5 * np.cos(np.linspace(0, np.pi, fade))).astype(np.float32)
    np.clip(scaled, -FULL, FULL - 1, out=scaled)
    np.round(scaled, out=scaled)
    kept = scaled.astype(np.int16)
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


@dataclass(frozen=True)
class _Plucked:
    """One string of a guitar at a rate, ready to be plucked: how it and the body answer, long and short."""

    voice: Voice
    rate: int
    period: float
    level: float
    loop: Loop
    length: int
    wound: bool

    def _answer(self, size: int) -> Spectrum:
        return string_spectrum(self.loop, size) * _body(self.voice, self.rate, size)

    def rings(self, plucks: Sequence[tuple[Pluck, float]]) -> tuple[Ring, ...]:
        """The string after each pluck at a strength."""
        long, short = self._answer(_SIZE), self._answer(_SHORT)
        return tuple(self._ring(pluck, strength * self.level, long, short) for pluck, strength in plucks)

    def _ring(self, pluck: Pluck, strength: float, long: Spectrum, short: Spectrum) -> Ring:
        clean = replace(pluck, scrape=0.0)
        body = sound(long * self._excite(clean, _SIZE) * strength, _SIZE)
        plain, brief = self._excite(clean, _SHORT), short * strength
        attacks, accents = [], []
        for take in range(TAKES):
            taken = replace(pluck, position=pluck.position * (1 + 0.05 * take), seed=pluck.seed + 100 * take)
            brighter = replace(
                taken, warmth=taken.warmth * 1.12, softness=taken.softness * 1.6, scrape=taken.scrape * 2
            )
            excited = self._excite(taken, _SHORT)
            contact = self._contact(taken, strength)
            attack = sound(brief * (excited - plain) + contact, _SHORT) * _SHORT_FALL
            sharper = brief * (self._excite(brighter, _SHORT) - excited) + contact / 2
            bite = sound(sharper, _SHORT) * _SHORT_FALL
            attacks.append(_kept(attack, _SHORT, 1))
            accents.append(_kept(attack + _share(body[:_SHORT] + attack, bite) * bite, _SHORT, 1))
        return Ring(_kept(body, self.length, self.rate), tuple(attacks), tuple(accents))

    def mutes(self, pluck: Pluck, strength: float) -> tuple[Take, ...]:
        """The string damped by the hand, a take each."""
        answer = self._answer(_MUTE_SIZE) * (strength * self.level)
        return tuple(
            _kept(
                sound(
                    answer * self._excite(replace(pluck, seed=pluck.seed + 100 * take), _MUTE_SIZE),
                    _MUTE_SIZE,
                ),
                self.rate // 6,
                self.rate // 24,
            )
            for take in range(TAKES)
        )

    def _contact(self, pluck: Pluck, strength: float) -> Spectrum:
        """The pick's noise on this string, as the body gives it off."""
        level = self.voice.contact * (1.0 if self.wound else WOUND_TO_PLAIN) * strength
        body = _body(self.voice, self.rate, _SHORT)
        return contact_noise(pluck, self.period, self.rate, _SHORT) * body * level

    def _excite(self, pluck: Pluck, size: int) -> Spectrum:
        return pluck_spectrum(pluck, self.period, self.rate, size)


def _string(index: int, note: int, voice: Voice, rate: int) -> StringTakes:
    pitch = frequency(note + _DETUNE[index] / 100)
    # A fretted string decays a little faster than the open one.
    shorter = 2.0 ** (-(note - OPEN_STRINGS[index]) / 24)
    decay, high = voice.decay[index] * shorter, voice.decay_high[index] * shorter
    length = min(round(min(decay, LONGEST) * rate), _SIZE)
    ringing = _Plucked(
        voice, rate, rate / pitch, voice.level[index] * _STRENGTH, design_loop(pitch, rate, decay, high),
        length, index < WOUND,
    )  # fmt: skip
    damped = replace(ringing, loop=design_loop(pitch, rate, 0.08, 0.045))
    down = Pluck(voice.pick_position, voice.warmth, voice.pick, voice.scrape, seed=1000 + index)
    up = Pluck(
        voice.pick_position * 0.65,
        voice.warmth * 1.8,
        voice.pick * 1.2,
        voice.scrape * 1.3,
        seed=2000 + index,
    )
    scratch = Pluck(
        0.3, voice.warmth * 2.5, voice.pick, 0.9, seed=3000 + index, scrape_time=0.022, release=0.4
    )
    down_mutes = damped.mutes(scratch, _MUTE)
    if index < len(OPEN_STRINGS) - UP_STRINGS:
        return StringTakes(ringing.rings([(down, 1.0)])[0], down_mutes)
    rings = ringing.rings([(down, 1.0), (up, _UP)])
    thin = replace(
        scratch,
        position=0.12,
        warmth=scratch.warmth * 2.5,
        softness=scratch.softness * 1.3,
        seed=4000 + index,
    )
    return StringTakes(rings[0], down_mutes, rings[1], damped.mutes(thin, _MUTE * 0.75))


def make_bank(chord: str = "G", voice: str = "steel", rate: int = 44100) -> Bank:
    """A new stroke bank, some 0.2 s of work.

    Raises ValueError for an unknown chord or voice, or a rate that is not from 8000 to 96000 Hz.
    """
    if not 8000 <= rate <= 96000:
        raise ValueError(f"rate {rate} Hz must lie between 8000 and 96000 Hz; 44100 and 48000 are usual")
    timbre = find_voice(voice)
    strings = tuple(
        None if note is None else _string(index, note, timbre, rate)
        for index, note in enumerate(chord_notes(chord))
    )
    forget()
    _body.cache_clear()
    return Bank(chord, voice, rate, strings)
