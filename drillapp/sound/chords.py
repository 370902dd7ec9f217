"""Chords on six strings in standard tuning: open ones, and barre chords for every other triad.

Conventions: strings are numbered from 0, the lowest, to 5, the highest. Pitches are MIDI note numbers; equal
temperament on A4 = 440 Hz (ISO 16:1975), so f = 440 * 2 ** ((note - 69) / 12). Shapes are common practice.
"""

from __future__ import annotations

from drillapp.music.harmony import semitone

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

# Shapes that are moved up the neck behind a barre, by what stands after the root's name, and by the
# # string of the root. The diminished triad is fingered, not barred.
_MOVED: dict[str, dict[int, tuple[int | None, ...]]] = {
    "": {0: (0, 2, 2, 1, 0, 0), 1: (None, 0, 2, 2, 2, 0)},
    "m": {0: (0, 2, 2, 0, 0, 0), 1: (None, 0, 2, 2, 1, 0)},
    "dim": {1: (None, 0, 1, 2, 1, None), 2: (None, None, 0, 1, 3, 1)},
}

CHORDS = tuple(_SHAPES)
"""Names of the open chords; any other major, minor or diminished triad is played as a barre chord."""


def frequency(note: float) -> float:
    """Frequency in Hz of a MIDI note number, in equal temperament on A4 = 440 Hz.

    >>> frequency(69)
    440.0
    """
    return float(440.0 * 2.0 ** ((note - 69) / 12))


def chord_frets(name: str) -> tuple[int | None, ...]:
    """Frets of the six strings of a chord, low to high: 0 is open, None is not played.

    An open chord where there is one, else the barre shape that lies nearer to the head. Raises ValueError for
    a name that is neither in CHORDS nor a triad's: a root, with nothing, ``m`` or ``dim`` after it.

    >>> chord_frets("F#m")
    (2, 4, 4, 2, 2, 2)
    """
    if name in _SHAPES:
        return _SHAPES[name]
    quality = next((end for end in ("dim", "m") if name.endswith(end)), "")
    try:
        root = semitone(name.removesuffix(quality))
    except ValueError:
        raise ValueError(
            f"no chord is called {name!r}; there are {', '.join(CHORDS)}, and the triads of any root, as F#m"
        ) from None
    nearest = [((root - OPEN_STRINGS[string]) % 12, shape) for string, shape in _MOVED[quality].items()]
    up, shape = min(nearest, key=lambda one: one[0])
    return tuple(None if fret is None else fret + up for fret in shape)


def chord_notes(name: str) -> tuple[int | None, ...]:
    """MIDI notes of the six strings of a chord, low to high, None for a string that is not played.

    Raises ValueError for a name that ``chord_frets`` does not know.

    >>> chord_notes("Em")
    (40, 47, 52, 55, 59, 64)
    """
    return tuple(
        None if fret is None else note + fret
        for note, fret in zip(OPEN_STRINGS, chord_frets(name), strict=True)
    )
