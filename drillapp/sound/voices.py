"""Guitar voices: how each of six strings decays, how bright it is plucked, and what the body adds.

Conventions: decay times are T60 in s (the time in which a partial falls by 60 dB); strings run from the low
one to the high one; frequencies are in Hz; gains are factors. The figures are chosen by ear and by measured
spectra, not taken from one instrument.
"""

from __future__ import annotations

from dataclasses import dataclass

WOUND_TO_PLAIN = 0.6
"""How much a plain string's contact noise has of a wound one's, whose windings the pick rides over."""


@dataclass(frozen=True)
class Resonance:
    """One resonance of a guitar's body: where it is, how sharp, and how much it adds at its peak."""

    frequency: float
    sharpness: float
    gain: float


@dataclass(frozen=True)
class Voice:
    """What makes one guitar sound unlike another."""

    name: str
    decay: tuple[float, ...]
    """T60 of the fundamental for each open string."""
    decay_high: tuple[float, ...]
    """T60 at 3 kHz for each open string."""
    level: tuple[float, ...]
    """Strength of each string in a stroke."""
    warmth: float
    """Corner in Hz below which a pluck excites all partials alike."""
    pick: float
    """Corner in Hz above which the soft edge of the pick excites less."""
    pick_position: float
    """Where the string is plucked, as a share of its length from the bridge."""
    scrape: float
    """Noise of the pick against the string, relative to the pluck."""
    contact: float
    """Noise of the pick or nail as it meets and leaves a wound string, heard beside the string's tone,
    relative to the pluck; plain strings have WOUND_TO_PLAIN of it."""
    body: tuple[Resonance, ...]
    tops: float
    """Share of what the strings do directly, beside the body's resonances."""


STEEL = Voice(
    name="steel",
    decay=(9.0, 8.5, 8.0, 7.2, 6.4, 5.6),
    decay_high=(2.6, 2.6, 2.5, 2.4, 2.4, 2.3),
    level=(0.95, 1.0, 1.0, 0.95, 0.9, 0.85),
    warmth=580.0,
    pick=9000.0,
    pick_position=0.16,
    scrape=0.035,
    contact=0.05,
    body=(
        Resonance(98.0, 9.0, 1.0),
        Resonance(196.0, 11.0, 0.9),
        Resonance(385.0, 8.0, 0.5),
        Resonance(620.0, 7.0, 0.35),
        Resonance(1250.0, 4.0, 0.1),
        # A steel-strung top gives off least between its own modes and the bridge's brightness.
        Resonance(1400.0, 0.8, -0.5),
        Resonance(2600.0, 3.0, 0.3),
        Resonance(5500.0, 0.9, 0.5),
    ),
    tops=1.0,
)

NYLON = Voice(
    name="nylon",
    decay=(8.0, 7.5, 7.0, 6.2, 5.4, 4.8),
    decay_high=(0.7, 0.7, 0.65, 0.6, 0.6, 0.6),
    level=(0.9, 0.95, 1.0, 1.0, 0.95, 0.9),
    warmth=420.0,
    pick=5000.0,
    pick_position=0.22,
    scrape=0.02,
    contact=0.01,
    body=(
        Resonance(95.0, 8.0, 1.1),
        Resonance(185.0, 10.0, 1.0),
        Resonance(240.0, 10.0, 0.5),
        Resonance(410.0, 8.0, 0.5),
        Resonance(700.0, 6.0, 0.3),
    ),
    tops=0.9,
)

VOICES = {voice.name: voice for voice in (STEEL, NYLON)}
"""The voices by name."""


def find_voice(name: str) -> Voice:
    """The voice of a name; ValueError naming the voices there are for any other.

    >>> find_voice("nylon").name
    'nylon'
    """
    if name not in VOICES:
        raise ValueError(f"no voice is called {name!r}; there are {', '.join(VOICES)}")
    return VOICES[name]
