"""Pattern text: what it means, its canonical form, and the faults it names."""

from __future__ import annotations

import sys
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings

sys.path.insert(0, str(Path(__file__).parent))
from strategies import patterns

from drillapp.music import Meter, PatternError, format, parse, read_swing


def test_numbers_are_struck_down_and_offbeats_up() -> None:
    # Common practice, no source: in a straight eighth pattern the number is a down, the + an up.
    strokes = parse("DU DU DU DU").strokes
    assert [s.at for s in strokes] == [Fraction(n, 2) for n in range(8)]
    assert [s.hand for s in strokes] == ["down", "up"] * 4


def test_a_dash_keeps_the_place_of_a_stroke() -> None:
    # Common practice, no source: six strokes in eight places, and the hand passes down on 3.
    pattern = parse("D- DU -U DU")
    assert len(pattern.strokes) == 6
    assert len(pattern.places) == 8
    assert Fraction(2) not in [s.at for s in pattern.strokes]


def test_a_tied_stroke_rings_on_and_is_not_struck_again() -> None:
    # Common practice, no source: the stroke on the + of 2 lasts a quarter, over 3.
    (tied,) = [s for s in parse("D- DU -U DU").strokes if s.at == Fraction(3, 2)]
    assert tied.length == 1


def test_an_x_is_struck_and_muted() -> None:
    # Common practice, no source.
    strokes = parse("DU XU DU XU").strokes
    assert len(strokes) == 8
    assert [s.at for s in strokes if s.muted] == [1, 3]


def test_a_backbeat_accents_two_and_four() -> None:
    # Common practice, no source.
    assert [s.at for s in parse("D >D D >D").strokes if s.accent] == [1, 3]


def test_an_x_goes_where_the_hand_goes() -> None:
    hands = [s.hand for s in parse("XX XXXX XXX D").strokes]
    assert hands == ["down", "up", "down", "up", "down", "up", "down", "up", "down", "down"]
    assert parse("X-X D D D").strokes[1].hand == "up"


def test_lower_case_letters_mute_in_the_direction_given() -> None:
    first, second = parse("ud D D D").strokes[:2]
    assert (first.hand, first.muted, second.hand, second.muted) == ("up", True, "down", True)


def test_a_leading_dash_is_a_rest_and_a_dash_after_a_rest_goes_on_resting() -> None:
    assert parse("-U DU D. -U") == parse(".U DU D. .U")
    assert format(parse("-U DU D. -U")) == ".U DU D. .U"


def test_a_dash_rings_on_across_the_barline() -> None:
    pattern = parse("D D D DU | -D D D D")
    assert pattern.strokes[4].length == 1
    assert pattern.stops == ()


def test_a_muted_stroke_does_not_ring_past_its_beat() -> None:
    # Common practice, no source: X is short, without ring, so a dash on the next beat is silence.
    assert parse("X -- D D") == parse("X .. D D")
    assert parse("X- D D D").strokes[0].length == 1


def test_a_rest_stops_what_rings_and_only_that() -> None:
    assert parse("D. D. X. .U").stops == (Fraction(1, 2), Fraction(3, 2))


@given(patterns())
@settings(max_examples=300, deadline=None)
def test_writing_and_reading_give_the_pattern_back(pattern) -> None:
    again = parse(pattern.text, pattern.meter.text, pattern.tempo, pattern.swing)
    assert again == pattern
    assert format(again) == pattern.text


@pytest.mark.parametrize(
    ("text", "line", "column", "words"),
    [
        ("D- DU xU DU", 1, 7, "did you mean X"),
        ("D- DU -U", 1, 9, "write 1 more beat"),
        ("D D D D D", 1, 9, "put | before it"),
        ("D D D D |\nD D >- D", 2, 6, "an accent needs a stroke"),
        ("D DUDUD D D", 1, 3, "1, 2, 3, 4 or 6 slots"),
        ("D D D D || D D D D", 1, 10, "two barlines"),
        ("D D D >", 1, 7, "accent needs a stroke after it"),
        ("", 1, 1, "write 4 beats"),
        ("D D D D\nD D", 2, 1, "one more"),
    ],
)
def test_a_fault_names_its_place_and_what_would_be_right(text, line, column, words) -> None:
    with pytest.raises(PatternError) as caught:
        parse(text)
    assert (caught.value.line, caught.value.column) == (line, column)
    assert words in str(caught.value)


@pytest.mark.parametrize(
    "wrong",
    [
        {"meter": "5/8"},
        {"meter": "4/5"},
        {"meter": "four"},
        {"tempo": 0},
        {"tempo": float("nan")},
        {"tempo": "fast"},
        {"swing": "2:0"},
        {"swing": "9:1"},
        {"swing": "swingy"},
    ],
)
def test_wrong_meter_tempo_or_swing_is_refused(wrong) -> None:
    with pytest.raises(PatternError):
        parse("D D D D", **wrong)


def test_a_million_characters_are_refused_at_once() -> None:
    with pytest.raises(PatternError, match="at most"):
        parse("D " * 500_000)


@pytest.mark.parametrize(
    ("written", "ratio"),
    [
        (None, None),
        ("", None),
        ("straight", None),
        ("1:1", None),
        ("2:1", Fraction(2)),
        (" 3 : 2 ", Fraction(3, 2)),
        ("3", Fraction(3)),
        ("4:1", Fraction(4)),
        ((5, 3), Fraction(5, 3)),
        ([3, 1], Fraction(3)),
        (1.5, Fraction(3, 2)),
        (2, Fraction(2)),
        (Fraction(7, 4), Fraction(7, 4)),
        (1.6667, Fraction(5, 3)),
    ],
)
def test_swing_is_written_long_to_short(written, ratio) -> None:
    # MusicXML 4.0 <swing> writes first and second the same way.
    assert read_swing(written) == ratio


@pytest.mark.parametrize(
    "written", ["2:0", "two", (1, 2, 3), True, {}, "1:2", 4.5, float("inf"), float("nan")]
)
def test_what_is_no_swing_is_refused(written) -> None:
    with pytest.raises(PatternError) as caught:
        read_swing(written)
    assert caught.value.code in ("swing", "swing-range")


@pytest.mark.parametrize(
    ("text", "code", "line", "column"),
    [
        ("D D D D |\n\n D D\tQ D", "mark-unknown", 3, 6),
        ("D D D D\nD", "bar-long", 2, 1),
        ("D D D D |\nD D", "bar-short", 2, 4),
        ("D D D D |\n| D D D D", "bar-empty", 2, 1),
        ("|| D D D D", "bar-empty", 1, 2),
        ("D D >>D D", "accent-twice", 1, 6),
        ("D D U>. D", "accent-unstruck", 1, 7),
        ("D D DU>", "accent-last", 1, 7),
        ("\n  DUDUD D D D", "beat-slots", 2, 3),
        ("D-UD-UD D D D", "beat-slots", 1, 1),
        ("\n\n", "text-empty", 1, 1),
        ("|", "text-empty", 1, 1),
    ],
)
def test_faults_stand_at_their_line_and_column(text, code, line, column) -> None:
    with pytest.raises(PatternError) as caught:
        parse(text)
    assert (caught.value.code, caught.value.line, caught.value.column) == (code, line, column)


def test_barlines_may_open_and_close_a_pattern_and_lines_may_break_it() -> None:
    assert format(parse("| D D D D |\nD D\nD D |")) == "D D D D | D D D D"
    assert format(parse("D D D D|D D D D")) == "D D D D | D D D D"


def test_two_beats_missing_are_two_more_to_write() -> None:
    with pytest.raises(PatternError, match=r"bar 2 has 2 of the 4 beats of 4/4; write 2 more beats \("):
        parse("D D D D | D D")


def test_accents_count_no_slot_and_stand_before_any_stroke() -> None:
    strokes = parse(">D>U >X>d>u >D D").strokes
    assert [s.accent for s in strokes] == [True] * 6 + [False]
    assert len(parse(">D>U D D D").places) == 5
    # The third of a beat of three goes down after a struck second, accents or not.
    assert [s.hand for s in parse(">X>X>X D D D").strokes[:3]] == ["down", "up", "down"]
    assert [s.hand for s in parse("X-X X.X -XX D").strokes] == [
        "down",
        "up",
        "down",
        "up",
        "up",
        "down",
        "down",
    ]


def test_a_text_may_be_as_long_as_it_may_and_not_longer() -> None:
    bar = "D D D D"
    assert len(parse(bar + " " * (20_000 - len(bar))).bars) == 1
    with pytest.raises(PatternError) as caught:
        parse(bar + " " * (20_001 - len(bar)))
    assert caught.value.code == "text-long"
    assert len(parse(" | ".join([bar] * 64)).bars) == 64
    with pytest.raises(PatternError) as caught:
        parse(" | ".join([bar] * 65))
    assert (caught.value.code, caught.value.line) == ("text-bars", 1)


def test_a_meter_may_be_given_as_one() -> None:
    assert parse("DUD DUD", Meter.parse("6/8")).meter.text == "6/8"
    plain = parse("D D D D")
    assert (plain.meter.text, plain.tempo, plain.swing) == ("4/4", 90, None)
