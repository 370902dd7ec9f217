"""Open chords on six strings in standard tuning.

Conventions: strings are numbered from 0, the lowest, to 5, the highest. Pitches are MIDI note numbers; equal
temperament on A4 = 440 Hz (ISO 16:1975), so f = 440 * 2 ** ((note - 69) / 12). Shapes are common practice.
"""

from __future__ import annotations

OPEN_STRINGS = (40, 45, 50, 55, 59, 64)
"""MIDI notes of the open strings, E2 A2 D3 G3 B3 E4."""

# Frets from the low string to the high one; None is a string that is not played.
_SHAPES: dict[str, tuple[int | None, ...]] = {
    "G": (3, 2, 0, 0, 0, 3),
    "C": (None, 3, 2, 0, 1, 0),
    "D": (None, None, 0, 2, 3, 2),
    "A": (None, 0, 2, 2, 2, 0),
    "E": (0, 2, 2, 1, 0, 0),
    "Am": (None, 0, 2, 2, 1, 0),
    "Em": (0, 2, 2, 0, 0, 0),
    "Dm": (None, None, 0, 2, 3, 1),
    "D7": (None, None, 0, 2, 1, 2),
    "A7": (None, 0, 2, 0, 2, 0),
    "E7": (0, 2, 0, 1, 0, 0),
    "Cadd9": (None, 3, 2, 0, 3, 3),
}

CHORDS = tuple(_SHAPES)
"""Names of the chords that can be played."""


def frequency(note: float) -> float:
    """Frequency in Hz of a MIDI note number, in equal temperament on A4 = 440 Hz.

    >>> frequency(69)
    440.0
    """
    return float(440.0 * 2.0 ** ((note - 69) / 12))


def chord_notes(name: str) -> tuple[int | None, ...]:
    """MIDI notes of the six strings of a chord, low to high, None for a string that is not played.

    Raises ValueError for a name that is not in CHORDS.

    >>> chord_notes("Em")
    (40, 47, 52, 55, 59, 64)
    """
    if name not in _SHAPES:
        raise ValueError(f"no chord is called {name!r}; there are {', '.join(CHORDS)}")
    return tuple(
        None if fret is None else note + fret for note, fret in zip(OPEN_STRINGS, _SHAPES[name], strict=True)
    )
