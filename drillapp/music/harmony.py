"""Chords of a major key by their degrees: I, IV, V, vi and the rest.

Conventions: a degree is a Roman numeral, large for a major triad, small for a minor one, small with a ring
for a diminished one; the triads are those that stand on the steps of the major scale (common practice, any
handbook of harmony). A chord is named by its root, with nothing, ``m`` or ``dim`` after it.
"""

from __future__ import annotations

LETTERS = "CDEFGAB"
NATURALS = dict(zip(LETTERS, (0, 2, 4, 5, 7, 9, 11), strict=True))
"""Semitones of the letters above C."""
_SCALE = (0, 2, 4, 5, 7, 9, 11)
_ACCIDENTALS = {"": 0, "#": 1, "b": -1}

KEYS = ("C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F")
"""The twelve major keys, round the circle of fifths."""
DEGREES = ("I", "ii", "iii", "IV", "V", "vi", "vii°")
"""The seven degrees, in the order of the scale."""
_QUALITIES = ("", "m", "m", "", "", "m", "dim")
PROGRESSIONS: tuple[tuple[str, ...], ...] = (
    ("I", "IV", "V", "I"),
    ("I", "V", "vi", "IV"),
    ("I", "vi", "IV", "V"),
    ("vi", "IV", "I", "V"),
    ("I", "IV", "I", "V"),
    ("ii", "V", "I", "I"),
)
"""Progressions of four chords that are common practice."""


def semitone(root: str) -> int:
    """Semitones of a root above C, from 0 to 11. Raises ValueError for what names no root.

    >>> semitone("C"), semitone("F#"), semitone("Cb")
    (0, 6, 11)
    """
    letter, accidental = root[:1], root[1:]
    if letter not in NATURALS or accidental not in _ACCIDENTALS:
        raise ValueError(f"{root!r} is no root of a chord; it is a letter from A to G, with # or b after it")
    return (NATURALS[letter] + _ACCIDENTALS[accidental]) % 12


def chord_at(key: str, degree: str) -> str:
    """The triad on a degree of a major key. Raises ValueError for another key or degree.

    >>> [chord_at("G", degree) for degree in ("I", "IV", "V", "vi")]
    ['G', 'C', 'D', 'Em']
    """
    if key not in KEYS:
        raise ValueError(f"no key is called {key!r}; there are {', '.join(KEYS)}")
    if degree not in DEGREES:
        raise ValueError(f"no degree is called {degree!r}; there are {', '.join(DEGREES)}")
    step = DEGREES.index(degree)
    letter = LETTERS[(LETTERS.index(key[0]) + step) % 7]
    # Each step of a scale has a letter of its own, and the accidental that brings it to its pitch.
    above = (semitone(key) + _SCALE[step] - NATURALS[letter] + 6) % 12 - 6
    return letter + {0: "", 1: "#", -1: "b"}[above] + _QUALITIES[step]


def next_degree(degree: str, by: int = 1) -> str:
    """The degree some steps further on, round and round."""
    return DEGREES[(DEGREES.index(degree) + by) % len(DEGREES)]
