"""The places of a pattern that can be written in more ways than one, and what each way writes."""

from __future__ import annotations

from fractions import Fraction

import pytest

from drillapp.music import Pattern, parse
from drillapp.music.ways import (
    ACCENTED,
    MUTED,
    PLAIN,
    RINGING,
    SILENT,
    STRUCK,
    Factor,
    changed,
    factors,
    in_table_order,
    write,
)

HALF = Fraction(1, 2)


def factor(pattern: Pattern, kind: str, at: object = 0) -> Factor:
    (found,) = (one for one in factors(pattern) if (one.kind, one.at) == (kind, at))
    return found


def written(text: str, kind: str, at: object = 0, meter: str = "4/4", **more: object) -> dict[str, str]:
    """The text (and swing or meter where it is of the whole) of each way of the factor at a place."""
    pattern = parse(text, meter, **more)
    one = factor(pattern, kind, at)
    return {way.name: write(pattern, [(one, way)]).text for way in one.ways}


def kinds_at(text: str, at: object, meter: str = "4/4") -> set[str]:
    return {one.kind for one in factors(parse(text, meter)) if one.at == at}


# What a place may be written as follows from what the signs mean: common practice, no source.


def test_a_stroke_may_be_struck_muted_tied_on_or_silent() -> None:
    assert written("DU DU DU DU", "stroke", 1) == {
        STRUCK: "DU DU DU DU",
        MUTED: "DU XU DU DU",
        RINGING: "DU -U DU DU",
        SILENT: "DU .U DU DU",
    }


def test_what_is_muted_or_accented_is_asked_plain() -> None:
    assert written("DU >XU DU DU", "stroke", 1)[STRUCK] == "DU DU DU DU"


def test_a_silence_takes_the_dashes_after_it_along() -> None:
    assert written("D- -U DU DU", "stroke", 0) == {
        STRUCK: "D- -U DU DU",
        MUTED: "X- .U DU DU",
        RINGING: ".. .U DU DU",
        SILENT: ".. .U DU DU",
    }


def test_a_rest_that_is_struck_rings_to_the_next_stroke() -> None:
    assert written("D. .. DU DU", "stroke", HALF) == {
        STRUCK: "DU -- DU DU",
        MUTED: "DX .. DU DU",
        RINGING: "D- -- DU DU",
        SILENT: "D. .. DU DU",
    }


def test_a_place_that_is_not_struck_is_struck_as_the_hand_travels() -> None:
    assert written("D- DU DU DU", "stroke", HALF)[STRUCK] == "DU DU DU DU"
    assert written("D--- D D D", "stroke", Fraction(3, 4))[STRUCK] == "D--U D D D"
    # In a beat of three the third slot goes down after a struck second one, else up.
    assert written("DU- D D D", "stroke", Fraction(2, 3))[STRUCK] == "DUD D D D"
    assert written("D-- D D D", "stroke", Fraction(2, 3))[STRUCK] == "D-U D D D"


def test_a_stroke_may_have_an_accent_or_none_and_keeps_its_mute() -> None:
    assert written("D X D D", "accent", 1) == {PLAIN: "D X D D", ACCENTED: "D >X D D"}
    assert written("D >D D D", "accent", 1) == {PLAIN: "D D D D", ACCENTED: "D >D D D"}


def test_only_what_is_struck_can_be_accented_moved_or_turned() -> None:
    assert kinds_at("D- DU DU DU", HALF) == {"stroke"}
    assert kinds_at("D- DU DU DU", 0) >= {"stroke", "accent", "hand", "shift"}


def test_a_stroke_may_go_down_or_up_where_the_hand_has_a_rule() -> None:
    assert written("D XU D D", "hand", 1) == {"down": "D XU D D", "up": "D uU D D"}
    # On the later slots of a beat of three both hands are usual.
    assert "hand" in kinds_at("DUD D D D", 0)
    assert "hand" not in kinds_at("DUD D D D", Fraction(1, 3))
    assert "hand" not in kinds_at("DUD D D D", Fraction(2, 3))


def test_a_stroke_may_come_a_slot_later_in_the_direction_of_that_slot() -> None:
    assert written("DU >D- DU DU", "shift", 1) == {
        "here": "DU >D- DU DU",
        "a slot later": "DU ->U DU DU",
    }


def test_a_stroke_moves_only_into_free_room_of_its_own_bar() -> None:
    assert "shift" not in kinds_at("DU DU DU DU", 0)
    assert "shift" not in kinds_at("D D D D | - D D D", 3)
    assert "shift" in kinds_at("D D D - | D D D D", 2)


def test_a_full_beat_may_be_in_two_or_in_three() -> None:
    assert written("DU D D D", "division", 0) == {"in two": "DU D D D", "in three": "DUD D D D"}
    assert written("D DUD D D", "division", 1) == {"in two": "D DU D D", "in three": "D DUD D D"}
    assert written("D D >DX D", "division", 2)["in three"] == "D D >DXX D"


def test_beats_with_gaps_compound_ones_and_other_divisions_stay_as_they_are() -> None:
    for text, meter in (("D- D-U DUDU D", "4/4"), ("DUD DUD", "6/8"), ("DUDUDU D D D", "4/4")):
        assert [one for one in factors(parse(text, meter)) if one.kind == "division"] == []


def test_a_pattern_may_swing_where_something_falls_off_the_beat() -> None:
    pattern = parse("DU D D D")
    one = factor(pattern, "swing")
    assert [(way.name, write(pattern, [(one, way)]).swing) for way in one.ways] == [
        ("even", None),
        ("swung", Fraction(2)),  # two to one, the usual swing of a triplet (common practice)
    ]
    swung = parse("DU D D D", swing="3:2")
    one = factor(swung, "swing")
    assert [write(swung, [(one, way)]).swing for way in one.ways] == [None, Fraction(3, 2)]
    assert [one for one in factors(parse("D D D D")) if one.kind == "swing"] == []


@pytest.mark.parametrize(
    ("text", "meter", "other", "rewritten"),
    [
        ("D D DU U", "4/4", "3/4", "D D DU"),
        ("D D DU | D D D", "3/4", "2/4", "D D | D D"),
        ("D DU", "2/4", "3/4", "D DU DU"),
        ("DUD D-U", "6/8", "9/8", "DUD D-U D-U"),
        ("DUD D D-U", "9/8", "6/8", "DUD D"),
    ],
)
def test_a_bar_may_have_a_beat_less_or_where_it_has_two_a_beat_more(text, meter, other, rewritten) -> None:
    pattern = parse(text, meter)
    one = factor(pattern, "meter")
    same, changed_ = (write(pattern, [(one, way)]) for way in one.ways)
    assert same == pattern
    assert (changed_.meter.text, changed_.text) == (other, rewritten)
    assert [way.name for way in one.ways] == [
        f"{len(pattern.meter.beats)} beats",
        f"{len(changed_.meter.beats)} beats",
    ]


@pytest.mark.parametrize(("text", "meter"), [("D D D", "2+2+3/8"), ("D", "1/4"), ("DUD", "3/8")])
def test_additive_meters_and_bars_of_one_beat_have_no_beat_to_spare(text, meter) -> None:
    assert [one for one in factors(parse(text, meter)) if one.kind == "meter"] == []


def test_a_place_reaches_as_far_as_what_it_writes() -> None:
    pattern = parse("DU DU D- DU")
    assert factor(pattern, "stroke", HALF).stretch == (HALF, 1)
    assert factor(pattern, "accent", 1).stretch == (1, 3 * HALF)
    assert factor(pattern, "hand", 1).stretch == (1, 3 * HALF)
    assert factor(pattern, "shift", 2).stretch == (2, 3)  # over the slot that it moves to
    assert factor(pattern, "division", 1).stretch == (1, 2)
    assert factor(pattern, "shift", 2).touches == {4, 5}
    assert factor(parse("DU DUD D D"), "division", 1).touches == {2, 3, 4}


def test_several_places_are_written_at_once_slots_first() -> None:
    pattern = parse("DU DU D D")
    muted = factor(pattern, "stroke", 2)
    three = factor(pattern, "division", 1)
    choices = [(three, three.ways[1]), (muted, muted.ways[1])]
    assert write(pattern, choices).text == "DU DUD X D"
    assert write(pattern, []) is pattern


def test_two_places_that_disturb_each_other_are_refused() -> None:
    pattern = parse("DU D- D D")
    struck, accent = factor(pattern, "stroke", 0), factor(pattern, "accent", 0)
    with pytest.raises(ValueError, match="two factors set slot 0, the second at 0"):
        write(pattern, [(struck, struck.ways[0]), (accent, accent.ways[1])])
    two, swing = factor(pattern, "division", 0), factor(pattern, "swing")
    with pytest.raises(ValueError, match="only one factor of a set may change the structure"):
        write(pattern, [(two, two.ways[0]), (swing, swing.ways[1])])


def test_signs_that_differ_are_those_of_one_page_and_not_of_the_other() -> None:
    tied, struck = parse("D- DU -U DU"), parse("D- DU DU DU")
    differ = {(sign.feature, sign.at, sign.layer) for sign in changed(tied, struck, ["staff"])}
    assert differ == {("tie", 2, "staff"), ("beat", 2, "staff")}
    assert changed(tied, tied, ["staff", "letters"]) == frozenset()


def test_features_are_told_in_one_order() -> None:
    assert in_table_order(["meter", "tie", "beat", "tie"]) == ("beat", "tie", "meter")
