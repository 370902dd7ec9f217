"""Meters: beats, lengths, and how time is played."""

from __future__ import annotations

from fractions import Fraction

import pytest

from drillapp.music import Meter, PatternError, parse
from drillapp.music.meter import MAX_NUMERATOR

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


@pytest.mark.parametrize(
    ("text", "strong"),
    [
        # Halves of the bar and its groups: common practice, no source; 4/4 and 12/8 as in
        # Longuet-Higgins and Lee 1984, where the middle of the bar outweighs its neighbours.
        ("4/4", (0, 2)),
        ("12/8", (0, 2)),
        ("8/4", (0, 2, 4, 6)),
        ("2/4", (0,)),
        ("3/4", (0,)),
        ("6/8", (0,)),
        ("5/4", (0,)),
        ("6/2", (0,)),
        ("3+2/4", (0, 3)),
        ("2+3+2/4", (0, 2, 5)),
        ("4+3/8", (0, 2)),
        ("2+2+3/8", (0,)),
    ],
)
def test_strong_beats_open_the_bar_its_halves_and_its_groups(text, strong) -> None:
    assert Meter.parse(text).strong == strong


@pytest.mark.parametrize(
    ("text", "beats"),
    [
        # A quarter or longer is counted by itself; eighths and shorter group by three, in a sum each term
        # is a beat or two: common practice, no source.
        ("1/8", [HALF]),
        ("2/8", [HALF] * 2),
        ("4/8", [HALF] * 4),
        ("3/8", [3 * HALF]),
        ("3/16", [3 * HALF / 2]),
        ("1/4", [1]),
        ("7/4", [1] * 7),
        ("9/4", [3, 3, 3]),
        ("12/4", [3] * 4),
        ("3/2", [2, 2, 2]),
        ("6/2", [2] * 6),
        ("3+3/4", [1] * 6),
        ("3+3/2", [2] * 6),
        ("1+2/8", [HALF, 1]),
        ("6+2/8", [3 * HALF, 3 * HALF, 1]),
        ("2+4/16", [HALF, HALF, HALF]),
    ],
)
def test_each_meter_has_its_beats(text, beats) -> None:
    meter = Meter.parse(text)
    assert list(meter.beats) == beats
    assert sum(meter.beats) == meter.length
    assert list(meter.starts) == [sum(beats[:n]) for n in range(len(beats))]
    assert meter.unit == min(beats)


@pytest.mark.parametrize(
    ("text", "split"),
    [
        ("5/8", "2+3/8"),
        ("7/8", "2+2+3/8"),
        ("8/8", "2+2+2+2/8"),
        ("11/16", "2+2+2+2+3/16"),
        ("5+3/8", "2+3/8"),
    ],
)
def test_a_meter_that_does_not_say_its_groups_is_told_how_to(text, split) -> None:
    with pytest.raises(PatternError) as caught:
        Meter.parse(text)
    assert caught.value.code == "meter-grouping"
    assert f"such as {split}" in caught.value.message


@pytest.mark.parametrize(
    ("text", "column", "code"),
    [
        ("4/5", 3, "meter-denominator"),
        ("12/3", 4, "meter-denominator"),
        ("0/4", 1, "meter-parts"),
        ("2+0/8", 1, "meter-parts"),
        ("4:4", 1, "meter"),
        ("  0/4", 3, "meter-parts"),
        (" 4 / 5", 6, "meter-denominator"),
    ],
)
def test_what_is_no_meter_is_named_at_its_place(text, column, code) -> None:
    with pytest.raises(PatternError) as caught:
        Meter.parse(text)
    assert (caught.value.line, caught.value.column, caught.value.code) == (1, column, code)


def test_a_bar_has_at_most_so_many_parts() -> None:
    most = "/".join(("+".join(["3"] * (MAX_NUMERATOR // 3) + ["1"] * (MAX_NUMERATOR % 3)), "8"))
    assert Meter.parse(most).numerator == MAX_NUMERATOR
    with pytest.raises(PatternError, match=f"1 to {MAX_NUMERATOR} parts, this one {MAX_NUMERATOR + 1}"):
        Meter.parse(f"{MAX_NUMERATOR + 1}/4")


def test_only_a_sum_is_additive_and_only_dotted_beats_are_compound() -> None:
    assert [Meter.parse(text).is_additive for text in ("4/4", "6/8", "3+2/8")] == [False, False, True]
    mixed = Meter.parse("2+2+3/8")
    assert [mixed.is_compound(beat) for beat in range(3)] == [False, False, True]
