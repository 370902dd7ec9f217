"""Chords by degree, against music21's Roman numerals and a printed table of the trade.

The triads on the steps of a major scale are common practice, in every handbook of harmony.
"""

from __future__ import annotations

import pytest
from music21 import roman

from drillapp.music.harmony import DEGREES, KEYS, PROGRESSIONS, chord_at, next_degree, semitone

QUALITIES = {"major": "", "minor": "m", "diminished": "dim"}


@pytest.mark.parametrize("key", KEYS)
def test_every_degree_is_the_triad_that_music21_finds_there(key: str) -> None:
    # music21 writes a flat as "-" and reads a diminished seventh degree from "viio".
    for degree in DEGREES:
        found = roman.RomanNumeral(degree.replace("°", "o"), key.replace("b", "-"))
        root = found.root().name.replace("-", "b")
        assert chord_at(key, degree) == root + QUALITIES[found.quality], (key, degree)


def test_the_keys_that_guitarists_begin_with() -> None:
    # Common practice, no source: the first chords of a song book.
    assert [chord_at("G", degree) for degree in ("I", "IV", "V", "vi")] == ["G", "C", "D", "Em"]
    assert [chord_at("C", degree) for degree in ("I", "V", "vi", "IV")] == ["C", "G", "Am", "F"]
    assert [chord_at("F", degree) for degree in ("I", "IV", "V", "ii")] == ["F", "Bb", "C", "Gm"]


def test_twelve_keys_and_progressions_of_four() -> None:
    assert sorted(semitone(key) for key in KEYS) == list(range(12))
    assert all(len(chords) == 4 and set(chords) <= set(DEGREES) for chords in PROGRESSIONS)
    assert next_degree("vii°") == "I" and next_degree("I", -1) == "vii°"


@pytest.mark.parametrize(("key", "degree"), [("H", "I"), ("c", "I"), ("C", "i"), ("C", "VIII")])
def test_other_names_are_refused_with_those_there_are(key: str, degree: str) -> None:
    with pytest.raises(ValueError, match="there are"):
        chord_at(key, degree)


@pytest.mark.parametrize("root", ["", "H", "c", "C##", "#"])
def test_what_is_no_root_is_refused(root: str) -> None:
    with pytest.raises(ValueError, match="letter from A to G"):
        semitone(root)
