"""Meters: beats, lengths, and how time is played."""

from __future__ import annotations

from fractions import Fraction

import pytest

from drillapp.music import Meter, parse

HALF = Fraction(1, 2)


@pytest.mark.parametrize(
    ("text", "length", "beats"),
    [
        # Bar lengths: MusicXML 4.0 durations at 12 divisions, 48, 36, 72 and 36 (computed).
        ("4/4", 4, [1, 1, 1, 1]),
        ("3/4", 3, [1, 1, 1]),
        ("6/8", 3, [3 * HALF, 3 * HALF]),
        ("12/8", 6, [3 * HALF] * 4),
        # Compound and additive grouping: common practice, no source.
        ("9/8", 9 * HALF, [3 * HALF] * 3),
        ("2+2+3/8", 7 * HALF, [1, 1, 3 * HALF]),
        ("3+2/8", 5 * HALF, [3 * HALF, 1]),
        ("4+3/8", 7 * HALF, [1, 1, 3 * HALF]),
        ("2/2", 4, [2, 2]),
        ("6/4", 6, [3, 3]),
    ],
)
def test_a_bar_has_the_beats_the_trade_counts(text, length, beats) -> None:
    meter = Meter.parse(text)
    assert meter.length == length
    assert list(meter.beats) == beats
    assert meter.text == text


def test_three_four_has_three_beats_and_six_eight_two() -> None:
    # Common practice, no source; music21's TimeSignature.beatCount agrees.
    assert len(Meter.parse("3/4").beats) == 3
    assert len(Meter.parse("6/8").beats) == 2


def test_tempo_counts_the_beat_that_is_counted() -> None:
    # 60 beats a minute: a beat a second, quarters in 4/4 and dotted quarters in 6/8 (arithmetic).
    assert parse("D D D D", tempo=60).seconds(1) == pytest.approx(1.0)
    assert parse("DUD DUD", "6/8", tempo=60).seconds(Fraction(3, 2)) == pytest.approx(1.0)
    assert parse("D D DUD", "2+2+3/8", tempo=60).seconds(1) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("tempo", "eighth", "triplet", "sixteenth"),
    [
        # Milliseconds at 60, 90, 120 and 180 beats a minute: arithmetic, 60000 / tempo / parts.
        (60, 500.0, 333.33, 250.0),
        (90, 333.33, 222.22, 166.67),
        (120, 250.0, 166.67, 125.0),
        (180, 166.67, 111.11, 83.33),
    ],
)
def test_parts_of_a_beat_last_what_the_tempo_says(tempo, eighth, triplet, sixteenth) -> None:
    pattern = parse("DU DUD DUDU D", tempo=tempo)
    assert 1000 * pattern.seconds(HALF) == pytest.approx(eighth, abs=0.01)
    assert 1000 * (pattern.seconds(Fraction(4, 3)) - pattern.seconds(1)) == pytest.approx(triplet, abs=0.01)
    assert 1000 * (pattern.seconds(Fraction(9, 4)) - pattern.seconds(2)) == pytest.approx(sixteenth, abs=0.01)


@pytest.mark.parametrize(
    ("swing", "first"),
    [
        # MusicXML 4.0 <swing>: first = a / (a + b) of the beat; milliseconds at 120 (arithmetic).
        (None, 250.0),
        ("3:2", 300.0),
        ("5:3", 312.5),
        ("2:1", 333.33),
        ("3:1", 375.0),
    ],
)
def test_swing_lengthens_the_first_eighth(swing, first) -> None:
    pattern = parse("DU DU DU DU", tempo=120, swing=swing)
    assert 1000 * pattern.seconds(HALF) == pytest.approx(first, abs=0.01)
    assert pattern.seconds(1) == pytest.approx(0.5)


def test_swing_leaves_triplets_and_compound_beats_alone() -> None:
    assert parse("DUD D D D", tempo=60, swing="2:1").seconds(Fraction(1, 3)) == pytest.approx(1 / 3)
    assert parse("DUD DUD", "6/8", tempo=60, swing="2:1").seconds(HALF) == pytest.approx(1 / 3)


def test_swung_time_never_runs_backwards() -> None:
    pattern = parse("DUDU DU DUD D | D- -U DUDU DU", swing="3:1")
    seconds = [pattern.seconds(place.at) for place in pattern.places]
    assert seconds == sorted(seconds)
    assert len(set(seconds)) == len(seconds)
