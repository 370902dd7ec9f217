"""Signs, features and what each layer can tell."""

from __future__ import annotations

import sys
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings

sys.path.insert(0, str(Path(__file__).parent))
from strategies import patterns

from drillapp.music import FEATURE_TABLE, FEATURES, LAYERS, look, parse, signs, syllables


def at(text: str, feature: str, layer: str, meter: str = "4/4", **more) -> list[Fraction]:
    found = signs(parse(text, meter, **more), [layer])
    return [sign.at for sign in found if sign.feature == feature]


def test_a_dash_on_three_is_a_tie_in_the_staff() -> None:
    # Common practice, no source.
    assert at("D- DU -U DU", "tie", "staff") == [2]
    assert at("D- DU -U DU", "skip", "letters") == [Fraction(1, 2), 2]


def test_letters_cannot_tell_a_ring_from_a_silence_and_the_staff_can() -> None:
    # Common practice, no source.
    ringing, silent = parse("D- DU -U DU"), parse("D. DU .U DU")
    assert look(ringing, ["letters"]) == look(silent, ["letters"])
    assert look(ringing, ["arrows", "counts"]) == look(silent, ["arrows", "counts"])
    assert look(ringing, ["staff"]) != look(silent, ["staff"])
    assert at("D. DU .U DU", "rest", "staff") == [Fraction(1, 2), 2]


def test_the_staff_shows_no_hand_and_letters_and_bows_do() -> None:
    against, along = parse("U D D D"), parse("D D D D")
    assert look(against, ["staff", "counts"]) == look(along, ["staff", "counts"])
    for layer in ("letters", "arrows", "bows"):
        assert look(against, [layer]) != look(along, [layer])
        assert [s.at for s in signs(against, [layer]) if s.feature == "direction"] == [0]


def test_a_beat_of_three_has_a_hand_rule_on_its_first_slot_only() -> None:
    # Common practice, no source: both down-up-down and down-(swing)-up are usual.
    assert at("DUD DDD DUU", "direction", "letters", "9/8") == []
    assert at("UDU DUD DUD", "direction", "letters", "9/8") == [0]


@pytest.mark.parametrize(
    ("text", "meter", "feature", "where"),
    [
        ("D D D D", "4/4", "beat", [0, 1, 2, 3]),
        ("DU D- -U D", "4/4", "offbeat", [Fraction(1, 2), Fraction(5, 2)]),
        ("DUDU D D D", "4/4", "sixteenth", [Fraction(1, 4), Fraction(3, 4)]),
        ("DUD D D D", "4/4", "triplet", [Fraction(1, 3), Fraction(2, 3)]),
        ("DUD D--", "6/8", "compound", [Fraction(1, 2), 1]),
        ("DUD D--", "6/8", "triplet", []),
        ("DX >DU D D", "4/4", "mute", [Fraction(1, 2)]),
        ("DX >DU D D", "4/4", "accent", [1]),
    ],
)
def test_a_stroke_is_of_the_kind_of_its_place(text, meter, feature, where) -> None:
    # What is on the number, the +, e and a: common practice, no source.
    for layer in ("letters", "staff"):
        assert at(text, feature, layer, meter) == where


def test_swing_is_a_sign_only_where_something_swings() -> None:
    assert at("DU D D D", "swing", "staff", swing="2:1") == [0]
    assert at("D D D D", "swing", "staff", swing="2:1") == []
    assert look(parse("D D D D", swing="2:1"), ["staff"]) == look(parse("D D D D"), ["staff"])


def test_every_feature_is_shown_by_some_layer() -> None:
    assert tuple(FEATURE_TABLE) == FEATURES
    assert len(FEATURES) == 13
    assert all(set(feature.layers) <= set(LAYERS) and feature.layers for feature in FEATURE_TABLE.values())


@given(patterns())
@settings(max_examples=150, deadline=None)
def test_signs_stand_at_places_of_layers_that_show_them(pattern) -> None:
    places = {place.at for place in pattern.places}
    for sign in signs(pattern, LAYERS):
        assert sign.layer in FEATURE_TABLE[sign.feature].layers
        assert sign.at in places


@pytest.mark.parametrize("layers", [[], ["tab"], ["letters", "chords"]])
def test_unknown_layers_are_named_with_the_allowed_ones(layers) -> None:
    with pytest.raises(ValueError, match="choose from letters, arrows, counts, staff, bows"):
        signs(parse("D D D D"), layers)


@pytest.mark.parametrize(
    ("text", "meter", "said"),
    [
        # Common practice, no source: 1 + 2 +, 1 e + a, 1 trip let, numbers for compound eighths.
        ("DU DU DU DU", "4/4", "1 + 2 + 3 + 4 +"),
        ("DUDU D DUD D", "4/4", "1 e + a 2 3 trip let 4"),
        ("DUD DUD", "6/8", "1 2 3 4 5 6"),
        ("D DUDUDU", "6/8", "1 4 + 5 + 6 +"),
        ("DU DU DUD", "2+2+3/8", "1 2 1 2 1 2 3"),
        ("DU DU DU", "3/4", "1 + 2 + 3 +"),
    ],
)
def test_counts_are_said_as_the_trade_says_them(text, meter, said) -> None:
    assert " ".join(syllables(parse(text, meter))) == said


@given(patterns())
@settings(max_examples=100, deadline=None)
def test_every_place_has_a_syllable_in_every_set(pattern) -> None:
    for names in ("1 + 2 +", "1 la li", "ta ka di mi"):
        said = syllables(pattern, names)
        assert len(said) == len(pattern.places)
        assert all(said)
