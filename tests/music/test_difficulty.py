"""Difficulty and what a hand can play."""

from __future__ import annotations

import pytest

from drillapp.music import FEATURES, Meter, difficulty, hindrances, parse
from drillapp.music.difficulty import SIGN_WEIGHTS, against_the_hand, difficulty_of


def test_every_feature_has_a_weight():
    assert set(SIGN_WEIGHTS) == set(FEATURES)


@pytest.mark.parametrize(
    ("easier", "harder"),
    [
        ("D D D D", "D DU D DU"),
        ("D DU D DU", "D- DU -U DU"),
        ("D- DU -U DU", "D- DU -U XU"),
        ("D D D D", "D D D D | D - D D"),
        ("DU DU DU DU", "DUDU DUDU DUDU DUDU"),
    ],
)
def test_another_sign_or_more_to_read_makes_it_harder(easier, harder):
    assert difficulty(parse(easier)) < difficulty(parse(harder))


def test_faster_is_harder():
    pattern = parse("DU DU DU DU")
    assert difficulty(pattern, 60) < difficulty(pattern, 120)
    assert difficulty(pattern, 120) == difficulty(parse("DU DU DU DU", tempo=120))


def test_difficulty_runs_from_nothing_to_one():
    everything = parse(">D-DU XUD. -UDU DUX | " * 3 + "DD-U >UXU DUD .U", "4/4", 200, "2:1")
    assert 0.0 <= difficulty(parse("D - - -", tempo=40)) <= 0.05
    assert 0.9 < difficulty(everything) <= 1.0


def test_eighths_down_and_up_at_120_can_be_played():
    assert hindrances(parse("DU DU DU DU", tempo=120)) == ()


def test_sixteenths_at_160_are_too_fast_for_the_arm():
    (message,) = hindrances(parse("DUDU DUDU DUDU DUDU", tempo=160))
    assert "a down and an up 0.094 s apart" in message


def test_the_arm_must_come_back_for_a_second_down():
    assert hindrances(parse("DD DD DD DD", tempo=150)) == ()
    (message,) = hindrances(parse("DD DD DD DD", tempo=170))
    assert "two strokes down" in message


def test_the_end_of_the_loop_counts_too():
    assert hindrances(parse("D - - D-DD", tempo=90)) != ()
    (message,) = hindrances(parse("D - - ---D", tempo=90))
    assert "from beat 4 of bar 1" in message


# The sums that the head of ``difficulty`` states, worked by hand.
PLAIN = Meter.parse("4/4")


@pytest.mark.parametrize(
    ("meter", "bars", "syncopated", "slots_a_second", "value"),
    [
        ("4/4", 1, 0, 1.0, 0.0),
        ("4/4", 1, 0, 0.5, 0.0),  # slower than a slot a second is no easier
        ("4/4", 1, 0, 4.5, 0.1),  # halfway from one to eight slots a second
        ("4/4", 1, 0, 8.0, 0.2),
        ("4/4", 1, 0, 20.0, 0.2),
        ("4/4", 1, 1, 1.0, 0.04),  # four a bar are as syncopated as counts
        ("4/4", 1, 4, 1.0, 0.16),
        ("4/4", 1, 9, 1.0, 0.16),
        ("4/4", 2, 4, 1.0, 0.08 + 0.0233),
        ("4/4", 2, 0, 1.0, 0.0233),  # four bars are as long as counts
        ("4/4", 4, 0, 1.0, 0.07),
        ("4/4", 9, 0, 1.0, 0.07),
        ("5/4", 1, 0, 1.0, 0.08),
        ("2+2+3/8", 1, 0, 1.0, 0.08),
        ("6/8", 1, 0, 1.0, 0.0),
    ],
)
def test_difficulty_adds_meter_syncopation_speed_and_length(meter, bars, syncopated, slots_a_second, value):
    found = difficulty_of((), Meter.parse(meter), bars, syncopated, slots_a_second)
    assert found == pytest.approx(value, abs=1e-12)


def test_difficulty_adds_the_weight_of_each_kind_of_sign_and_ends_at_one():
    assert difficulty_of(("tie", "rest"), PLAIN, 1, 0, 1.0) == pytest.approx(0.19)
    assert difficulty_of(FEATURES, Meter.parse("7/4"), 4, 16, 8.0) == 1.0


def test_a_pattern_is_as_hard_as_what_it_is_made_of():
    # Eight slots in 4 quarters at 120: four a second; one syncopation of 2 against the bar's four.
    tied = parse("D- DU -U DU", tempo=120)
    assert difficulty(tied) == difficulty_of(("offbeat", "skip", "tie"), PLAIN, 1, 2, 4.0)
    assert difficulty(tied.at_tempo(60), 120) == difficulty(tied)
    assert difficulty(tied, 60) == difficulty_of(("offbeat", "skip", "tie"), PLAIN, 1, 2, 2.0)


def test_the_arm_is_as_quick_as_its_bounds_and_no_quicker():
    # 150 a minute in sixteenths: 0.1 s each, by arithmetic.
    assert hindrances(parse("DUDU DUDU DUDU DUDU", tempo=150)) == ()
    assert hindrances(parse("DUDU DUDU DUDU DUDU", tempo=80), 150) == ()
    assert len(hindrances(parse("DUDU DUDU DUDU DUDU", tempo=80), 151)) == 1
    assert hindrances(parse("DUDU DUDU DUDU DUDU", tempo=151), 80) == ()


def test_each_kind_of_hindrance_is_told_once_with_its_place_and_need():
    assert hindrances(parse("D D D D | D DDDD DUDUDU DDDD", tempo=100)) == (
        "two strokes down 0.150 s apart, from beat 2 of bar 2; the arm needs 0.19 s to come back",
    )
    assert hindrances(parse("D D D DUDUDU", tempo=120)) == (
        "a down and an up 0.083 s apart, from beat 4 of bar 1; the arm needs 0.1 s from one to the next",
    )
    assert len(hindrances(parse("UU UU DUDUDU D", tempo=170))) == 2
    assert "two strokes up" in hindrances(parse("UU UU UU UU", tempo=170))[0]


def test_a_stroke_goes_against_the_hand_where_the_hand_has_a_rule():
    against = [against_the_hand(place) for place in parse("UD DU -- UUU | DDD DD DU D").places]
    # Later slots of a beat of three are free.
    assert [int(one) for one in against] == [1, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0]
