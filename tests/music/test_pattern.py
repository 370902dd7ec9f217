"""Patterns as values: their places and strokes in exact time, how they sound, how they are changed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from drillapp.music import REST, RING, Meter, Pattern, PatternError, Slot, Stroke, parse
from drillapp.music.pattern import MAX_BARS

HALF = Fraction(1, 2)


def test_every_slot_knows_where_it_stands() -> None:
    # Arithmetic: eighths of a quarter, thirds of one, the second bar a bar's length on.
    places = parse("D DU | DUD D", "2/4").places
    assert [(p.at, p.length, p.bar, p.beat, p.number, p.of) for p in places] == [
        (0, 1, 0, 0, 0, 1),
        (1, HALF, 0, 1, 0, 2),
        (3 * HALF, HALF, 0, 1, 1, 2),
        (2, Fraction(1, 3), 1, 0, 0, 3),
        (Fraction(7, 3), Fraction(1, 3), 1, 0, 1, 3),
        (Fraction(8, 3), Fraction(1, 3), 1, 0, 2, 3),
        (3, 1, 1, 1, 0, 1),
    ]
    assert [p.index for p in places] == list(range(7))


def test_a_stroke_sounds_to_the_next_one_to_a_stop_or_to_the_end() -> None:
    assert parse("D- -U >X. D-").strokes == (
        Stroke(Fraction(0), 3 * HALF, "down"),
        Stroke(3 * HALF, HALF, "up"),
        Stroke(Fraction(2), HALF, "down", True, True),
        Stroke(Fraction(3), Fraction(1), "down"),
    )


def test_strings_that_ring_are_stopped_once_by_the_first_rest() -> None:
    assert parse(".D . . D").stops == (1,)
    assert parse("D .U X. D.").stops == (1, Fraction(7, 2))  # a mute has nothing left to stop
    assert parse(". . . .").stops == ()


def test_what_cannot_ring_rests() -> None:
    assert parse("-- D- .- -U").text == ".. D- .. .U"
    assert parse("X- -- DX -- | -- D D D").text == "X- .. DX .. | .. D D D"
    assert parse("D D D X | - D D D").text == "D D D X | . D D D"
    assert parse("D D D D | - D - D").text == "D D D D | - D - D"
    assert parse("XD -U D D").text == "XD -U D D"


def test_patterns_of_equal_music_are_equal() -> None:
    assert parse("-U D D D") == parse(".U D D D")
    assert hash(parse("-U D D D")) == hash(parse(".U D D D"))
    assert parse("D D D D", tempo=90) != parse("D D D D", tempo=91)
    assert len({parse("DU D D D"), parse("DU D D D", swing="2:1"), parse("DU D D D")}) == 2


def test_a_pattern_is_as_long_as_its_bars() -> None:
    assert parse("D D D | D D D", "3/4").length == 6
    assert parse("DUD DUD", "6/8").length == 3


@pytest.mark.parametrize("tempo", [20, 400, Fraction(41, 2), 92.5])
def test_tempo_may_be_from_20_to_400(tempo) -> None:
    assert parse("D D D D", tempo=tempo).tempo == tempo


@pytest.mark.parametrize("tempo", [19.9, 400.5, True, "90", None])
def test_other_tempos_are_refused(tempo) -> None:
    with pytest.raises(PatternError) as caught:
        parse("D D D D", tempo=tempo)
    assert (caught.value.code, caught.value.places) == ("tempo", {"tempo": tempo, "low": 20, "high": 400})


def test_a_pattern_has_at_most_sixty_four_bars() -> None:
    one = parse("D", "1/4")
    assert len(Pattern(one.bars * MAX_BARS, one.meter).bars) == MAX_BARS == 64
    for bars in ((), one.bars * 65):
        with pytest.raises(PatternError) as caught:
            Pattern(bars, one.meter)
        assert (caught.value.code, caught.value.places["bars"]) == ("bar-count", len(bars))


def test_bars_are_counted_from_one_in_faults() -> None:
    beat = (Slot("strike", "down"),)
    with pytest.raises(PatternError, match="bar 2 has 1 beats; 2/4 has 2 a bar"):
        Pattern(((beat, beat), (beat,)), Meter.parse("2/4"))
    with pytest.raises(PatternError, match="one in bar 2 has 5") as caught:
        Pattern(((beat, beat), (beat, (REST,) * 5)), Meter.parse("2/4"))
    assert caught.value.places == {"bar": 2, "slots": 5}


# MusicXML 4.0 <swing>: first over second is long over short; all else here is arithmetic at 60 a minute.


def test_swing_moves_the_middle_of_a_beat_and_the_rest_in_proportion() -> None:
    swung = parse("DUDU DU DUD D | DU D D D", tempo=60, swing="2:1")
    third = 1 / 3
    assert swung.seconds(Fraction(1, 4)) == pytest.approx(third)
    assert swung.seconds(HALF) == pytest.approx(2 * third)
    assert swung.seconds(Fraction(3, 4)) == pytest.approx(2.5 * third)
    assert swung.seconds(1) == pytest.approx(1)
    assert swung.seconds(3 * HALF) == pytest.approx(1 + 2 * third)
    assert swung.seconds(Fraction(7, 3)) == pytest.approx(7 / 3)  # a triplet stays even
    assert swung.seconds(7 * HALF) == pytest.approx(3.5)  # so does a beat of one slot
    assert swung.seconds(4 + HALF) == pytest.approx(4 + 2 * third)


def test_outside_the_pattern_time_goes_on_evenly() -> None:
    swung = parse("DU DU", "2/4", tempo=60, swing="2:1")
    assert swung.seconds(-HALF) == pytest.approx(-0.5)
    assert swung.seconds(2) == pytest.approx(2)
    assert swung.seconds(2 + HALF) == pytest.approx(2.5)
    assert parse("DU DU", "2/4", tempo=60).seconds(HALF) == pytest.approx(0.5)


def test_only_simple_beats_of_an_additive_bar_swing() -> None:
    swung = parse("DU DU DUD", "2+2+3/8", tempo=60, swing="3:1")
    assert swung.seconds(HALF) == pytest.approx(0.75)
    assert swung.seconds(3 * HALF) == pytest.approx(1.75)
    assert swung.seconds(5 * HALF) == pytest.approx(2.5)
    compound = parse("DUDU D", "6/8", tempo=60, swing="3:1")
    assert compound.seconds(Fraction(3, 4)) == pytest.approx(0.5)


def test_a_long_beat_swings_over_its_own_length() -> None:
    # 2/2: half notes are counted, so that two to one puts the second half at 2/3 of two quarters.
    swung = parse("DU D", "2/2", tempo=60, swing="2:1")
    assert swung.seconds(1) == pytest.approx(2 / 3)
    assert swung.seconds(2) == pytest.approx(1)


def test_changed_slots_leave_the_others_and_settle_anew() -> None:
    pattern = parse("D- DU | D- D-", "2/4", 77, "3:2")
    changed = pattern.with_slots({3: RING, 4: REST})
    assert changed.text == "D- D- | .. D-"
    assert (changed.tempo, changed.swing, changed.meter) == (77, Fraction(3, 2), pattern.meter)
    assert pattern.text == "D- DU | D- D-"


def test_another_tempo_is_the_same_music() -> None:
    slower = parse("DU D D D").at_tempo(50)
    assert (slower.tempo, slower.text) == (50, "DU D D D")
