"""Signs, features and what each layer can tell."""

from __future__ import annotations

import sys
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings

sys.path.insert(0, str(Path(__file__).parent))
from strategies import patterns

from drillapp.music import (
    FEATURE_TABLE,
    FEATURES,
    LAYERS,
    check_layers,
    features_to_ask,
    look,
    parse,
    signs,
    swung,
    syllables,
)
from drillapp.music.features import slot_feature


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


@pytest.mark.parametrize(
    ("layer", "mute", "accent", "hand"),
    [
        # What each layer has a sign for: common practice, no source.
        ("letters", True, True, True),
        ("arrows", True, True, True),
        ("staff", True, True, False),
        ("bows", False, False, True),
        ("counts", False, False, False),
    ],
)
def test_a_layer_looks_different_where_it_has_a_sign_for_the_difference(layer, mute, accent, hand) -> None:
    plain = look(parse("D D D D"), [layer])
    for text, seen in (("D X D D", mute), ("D >D D D", accent), ("D U D D", hand)):
        assert (look(parse(text), [layer]) != plain) is seen
    assert (look(parse("D d D D"), [layer]) != look(parse("D u D D"), [layer])) is hand


def test_an_accent_is_written_where_the_stroke_is_and_not_where_its_tie_arrives() -> None:
    accented, plain = parse("D- D>U -U D-"), parse("D- DU -U D-")
    assert look(accented, ["staff"]) != look(plain, ["staff"])
    assert [s.at for s in signs(accented, ["staff"]) if s.feature == "accent"] == [Fraction(3, 2)]


def test_counts_show_how_each_beat_divides_and_the_meter_and_nothing_else() -> None:
    assert look(parse("D- D D D"), ["counts"]) != look(parse("D D D D"), ["counts"])
    assert look(parse("D- D D D"), ["counts"]) == look(parse(".U D - D"), ["counts"])
    # The same places in two meters: three quarters, and the quarters of 6/4's two beats.
    assert look(parse("D D", "2/4"), ["counts"]) != look(parse("D | D", "1/4"), ["counts"])
    assert look(parse("D D D", "3/4"), ["staff"]) != look(parse("D D D", "3/2"), ["staff"])


def test_the_third_sixths_of_a_dotted_beat_are_its_eighths() -> None:
    # Six to a dotted quarter: eighths on 1, 3 and 5 of them, sixteenths between (arithmetic).
    assert [slot_feature(n, 6, True) for n in range(6)] == [
        "beat",
        "sixteenth",
        "compound",
        "sixteenth",
        "compound",
        "sixteenth",
    ]
    assert [slot_feature(n, 6, False) for n in range(1, 6)] == ["triplet"] * 5
    assert [slot_feature(n, 4, False) for n in range(1, 4)] == ["sixteenth", "offbeat", "sixteenth"]


def test_four_to_a_beat_swing_too_and_dotted_beats_and_triplets_do_not() -> None:
    assert swung(parse("DUDU D D D", swing="2:1"))
    assert not swung(parse("DUD D D D", swing="2:1"))
    assert not swung(parse("DU DUD", "6/8", swing="2:1"))
    assert not swung(parse("D- D D D", swing="2:1"))
    assert not swung(parse("DU D D D"))


def test_no_layer_and_one_layer_by_its_name() -> None:
    assert check_layers("staff") == ("staff",)
    assert check_layers(["staff", "letters", "staff"]) == ("letters", "staff")
    with pytest.raises(ValueError, match=r"^no layer is shown; choose"):
        check_layers([])
    with pytest.raises(ValueError, match=r"^'tab' is not a layer; choose"):
        check_layers(["staff", "tab"])


def test_signs_are_told_by_place_then_layer() -> None:
    told = [(sign.at, LAYERS.index(sign.layer)) for sign in signs(parse("DX -U D D"), LAYERS)]
    assert told == sorted(told)


def test_four_four_is_no_sign_to_ask_about_and_other_meters_are() -> None:
    assert features_to_ask(parse("D D D D")) == {"beat"}
    assert features_to_ask(parse("D D D", "3/4")) == {"beat", "meter"}


@pytest.mark.parametrize(
    ("names", "text", "meter", "said"),
    [
        # Sources at the head of ``counts``.
        ("1 la li", "DU DUDU DUD DUDUDU", "4/4", "1 te 2 ta te ta 3 la li 4 ta la ta li ta"),
        ("ta ka di mi", "DU DUDU DUD DUDUDU", "4/4", "ta di ta ka di mi ta ki da ta va ki di da ma"),
        ("1 la li", "DUD DUD", "6/8", "1 la li 2 la li"),
        ("1 + 2 +", "DUDUDU D D D", "4/4", "1 ta trip ta let ta 2 3 4"),
        ("1 + 2 +", "DUDU DU DUD", "2+2+3/8", "1 + 2 + 1 2 1 2 3"),
        ("1 + 2 +", "DU DU DU DU DU", "3+2/4", "1 + 2 + 3 + 4 + 5 +"),
        ("1 la li", "DU DU DUD", "2+2+3/8", "1 te 2 te 3 la li"),
    ],
)
def test_each_set_says_its_own_syllables(names, text, meter, said) -> None:
    assert " ".join(syllables(parse(text, meter), names)) == said


def test_an_unknown_set_of_syllables_is_named_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"'la' is not a set .*; choose one of 1 [+] 2 [+], 1 la li"):
        syllables(parse("D D D D"), "la")
