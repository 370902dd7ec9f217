"""Chords on the strings: every chord of every key is played with its own notes and by a hand.

Which notes a chord has: music21's chord symbols. What a hand can do: common practice, no source.
"""

from __future__ import annotations

import pytest
from music21 import harmony

from drillapp.music.harmony import DEGREES, KEYS, chord_at
from drillapp.sound.chords import CHORDS, chord_frets, chord_notes

ALL = sorted({chord_at(key, degree) for key in KEYS for degree in DEGREES} | set(CHORDS))


@pytest.mark.parametrize("name", ALL)
def test_a_chord_has_its_own_notes_and_all_of_them(name: str) -> None:
    figure = name[0] + name[1:].replace("b", "-", 1) if name[1:2] == "b" else name
    wanted = {pitch.pitchClass for pitch in harmony.ChordSymbol(figure).pitches}
    sounding = [note for note in chord_notes(name) if note is not None]
    assert {note % 12 for note in sounding} == wanted
    assert sounding[0] % 12 == harmony.ChordSymbol(figure).root().pitchClass, "the root is in the bass"


@pytest.mark.parametrize("name", ALL)
def test_a_hand_can_hold_it(name: str) -> None:
    # Common practice: four neighbouring frets at most, low on the neck, and at least four strings.
    frets = [fret for fret in chord_frets(name) if fret is not None]
    fretted = [fret for fret in frets if fret]
    assert len(frets) >= 4
    assert max(fretted) - min(fretted) <= 3
    assert max(fretted) <= 9


@pytest.mark.parametrize("name", ["", "H", "Gsus", "Gmm", "g", "G/B"])
def test_other_names_are_refused(name: str) -> None:
    with pytest.raises(ValueError, match="no chord is called"):
        chord_notes(name)
