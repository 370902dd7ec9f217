"""The staff's spelling. Rules: Gould, Behind Bars, 2011; Read, Music Notation, 1979 (both from memory)."""

from __future__ import annotations

import sys
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings

sys.path.insert(0, str(Path(__file__).parent))
from strategies import patterns

from drillapp.music import Note, Tuplet, notes, parse

HALF = Fraction(1, 2)
NAMES = {4: "whole", 2: "half", 1: "quarter", Fraction(1, 2): "8th", Fraction(1, 4): "16th"}


def spelled(text: str, meter: str = "4/4") -> str:
    """`quarter 8th 8th~8th r8th`: ties as ~, rests as r, X noteheads as x, dots as ., bars by |."""
    bars = []
    for bar in notes(parse(text, meter)):
        words = ""
        for note in bar:
            head = "r" if note.stroke is None else "x" if note.stroke.muted else ""
            tuplet = "" if note.tuplet is None else f"/{note.tuplet.actual}"
            words += ("~" if note.tied_from else " ") + head + NAMES[note.value] + "." * note.dots + tuplet
        bars.append(words.strip())
    return " | ".join(bars)


@pytest.mark.parametrize(
    ("text", "spelling"),
    [
        # Worked from the rules, on an eighth grid in 4/4.
        ("D- -U -- D-", "quarter. 8th~quarter quarter"),
        ("D- DU -U D-", "quarter 8th 8th~8th 8th quarter"),
        ("D- DU -U DU", "quarter 8th 8th~8th 8th 8th 8th"),
        ("D- -U -- --", "quarter. 8th~half"),
        ("DU -U D- D-", "8th quarter 8th quarter quarter"),
        ("D- D- D- D-", "quarter quarter quarter quarter"),
        ("D- -- -- --", "whole"),
        ("D- -- -- D-", "half. quarter"),
        ("D- D- -- D-", "quarter half quarter"),
        ("D- D- -- --", "quarter quarter~half"),
        ("DU -- D- D-", "8th quarter. quarter quarter"),
        ("DU -D -U -U", "8th quarter 8th~8th quarter 8th"),
        ("D. DU .U DU", "8th r8th 8th 8th r8th 8th 8th 8th"),
        (".. .. DU DU", "rhalf 8th 8th 8th 8th"),
        ("D .. .. D", "quarter rquarter rquarter quarter"),
        ("X- -- DU D", "xquarter rquarter 8th 8th quarter"),
        ("DUD D-U D D", "8th/3 8th/3 8th/3 quarter/3 8th/3 quarter quarter"),
        ("D-DU -UDU D--U D", "8th 16th 16th~16th 16th 16th 16th 8th. 16th quarter"),
        ("DU-U D D D", "16th 8th 16th quarter quarter quarter"),
    ],
)
def test_four_four_shows_its_beats_and_its_middle(text, spelling) -> None:
    assert spelled(text) == spelling


@pytest.mark.parametrize(
    ("text", "meter", "spelling"),
    [
        ("DU -U D", "3/4", "8th 8th~8th 8th quarter"),
        ("D- -- D", "3/4", "half quarter"),
        ("D D- --", "3/4", "quarter half"),
        ("D-- D-U", "6/8", "quarter. quarter 8th"),
        ("D-- ---", "6/8", "half."),
        ("D-U -UD", "6/8", "quarter 8th~8th 8th 8th"),
        ("D.. .UD", "6/8", "8th r8th r8th r8th 8th 8th"),
        ("... D--", "6/8", "rquarter. quarter."),
        ("D- -- D--", "2+2+3/8", "quarter~quarter quarter."),
        ("DU -U", "2/4", "8th quarter 8th"),
        ("D D | . .", "2/4", "quarter quarter | rwhole"),
    ],
)
def test_other_meters_show_their_beats(text, meter, spelling) -> None:
    assert spelled(text, meter) == spelling


def test_a_tie_stands_at_the_middle_only_where_the_middle_would_be_hidden() -> None:
    # Every one-bar eighth pattern: a tie arrives at the middle iff a chord sounds over it that does not
    # begin there, and it is not a whole note, a dotted half on 1 or quarter-half-quarter.
    for bits in range(256):
        marks = ["D" if bits >> n & 1 else "-" for n in range(8)]
        pattern = parse(" ".join("".join(marks[n : n + 2]) for n in (0, 2, 4, 6)))
        over = [s for s in pattern.strokes if s.at < 2 < s.at + s.length]
        excused = any(
            (s.at, s.length) in ((0, 4), (0, 3))
            or (
                (s.at, s.length) == (1, 2) and {(t.at, t.length) for t in pattern.strokes} >= {(0, 1), (3, 1)}
            )
            for s in over
        )
        tied = any(note.at == 2 and note.tied_from for note in notes(pattern)[0])
        assert tied is (bool(over) and not excused), pattern.text


@given(patterns())
@settings(max_examples=300, deadline=None)
def test_bars_add_up_exactly_and_ties_hold_each_stroke_together(pattern) -> None:
    length = pattern.meter.length
    written: dict[Fraction, Fraction] = {}
    for number, bar in enumerate(notes(pattern)):
        at = number * length
        for note in bar:
            assert note.at == at
            at += note.length
            real = note.value * Fraction(3, 2) if note.dots else note.value
            if note.tuplet is not None:
                real = real * note.tuplet.normal / note.tuplet.actual
            assert real == note.length or (note.stroke is None and len(bar) == 1)
            if note.stroke is not None:
                assert note.tied_from is (note.at > note.stroke.at)
                assert note.tied_to is (note.at + note.length < note.stroke.at + note.stroke.length)
                written[note.stroke.at] = written.get(note.stroke.at, Fraction(0)) + note.length
        assert at == (number + 1) * length
    assert written == {stroke.at: stroke.length for stroke in pattern.strokes}


@given(patterns())
@settings(max_examples=200, deadline=None)
def test_strokes_never_overlap(pattern) -> None:
    ends = Fraction(0)
    for stroke in pattern.strokes:
        assert stroke.at >= ends
        assert stroke.length > 0
        ends = stroke.at + stroke.length
    assert ends <= pattern.length


def test_published_durations_are_what_note_values_last(table) -> None:
    written = {
        "whole": "D- -- -- --",
        "dotted half": "D- -- -- D",
        "half": "D- -- D D",
        "dotted quarter": "D- -U D D",
        "quarter": "D D D D",
        "dotted eighth": "D--U D D D",
        "eighth": "DU D D D",
        "16th": "DUDU D D D",
        "triplet eighth": "DUD D D D",
        "triplet quarter": "D-U D D D",
    }
    for row in table("durations.csv"):
        note = notes(parse(written[row["name"]]))[0][0]
        assert note.length == Fraction(row["quarters"]), row["name"]
        assert (note.value, note.dots) == (Fraction(row["value"]), int(row["dots"]))
        tuplet = (note.tuplet.actual, note.tuplet.normal) if note.tuplet else (1, 1)
        assert tuplet == (int(row["actual"]), int(row["normal"]))


@pytest.mark.parametrize(
    ("text", "meter", "spelling"),
    [
        # Worked from the rules at the head of ``spelling``: halves and thirds of a beat stay visible, rests
        # show every beat or half a bar, groups of an additive bar are tied together.
        ("D..U D D D", "4/4", "16th r16th r16th 16th quarter quarter quarter"),
        ("D.U. D D D", "4/4", "16th r16th 16th r16th quarter quarter quarter"),
        (".U-. D D D", "4/4", "r16th 8th r16th quarter quarter quarter"),
        ("..DU D D D", "4/4", "r8th 16th 16th quarter quarter quarter"),
        ("DU.. D D D", "4/4", "16th 16th r8th quarter quarter quarter"),
        ("D-.U D D D", "4/4", "8th r16th 16th quarter quarter quarter"),
        (".--- D D D", "4/4", "rquarter quarter quarter quarter"),
        ("D.-- D D D", "4/4", "16th r16th r8th quarter quarter quarter"),
        (".U.U D D D", "4/4", "r16th 16th r16th 16th quarter quarter quarter"),
        ("D... D D D", "4/4", "16th r16th r8th quarter quarter quarter"),
        ("DUDUDU D D D", "4/4", "16th/6 16th/6 16th/6 16th/6 16th/6 16th/6 quarter quarter quarter"),
        ("D-D-D- D D D", "4/4", "8th/6 8th/6 8th/6 quarter quarter quarter"),
        ("D---DU D D D", "4/4", "quarter/6 16th/6 16th/6 quarter quarter quarter"),
        ("D--D-- D D D", "4/4", "8th./6 16th/6~8th/6 quarter quarter quarter"),
        ("DU---- D D D", "4/4", "16th/6 16th/6~quarter/6 quarter quarter quarter"),
        ("DU--D- D D D", "4/4", "16th/6 16th/6~8th/6 8th/6 quarter quarter quarter"),
        ("D.--.. D D D", "4/4", "16th/6 r16th/6 r8th/6 r8th/6 quarter quarter quarter"),
        ("D....U D D D", "4/4", "16th/6 r16th/6 r8th/6 r16th/6 16th/6 quarter quarter quarter"),
        (".U.... D D D", "4/4", "r16th/6 16th/6 r8th/6 r8th/6 quarter quarter quarter"),
        ("D-.-.U D D D", "4/4", "8th/6 r8th/6 r16th/6 16th/6 quarter quarter quarter"),
        ("D D D D----U", "4/4", "quarter quarter quarter quarter/6~16th/6 16th/6"),
        ("D.. D D D", "4/4", "8th/3 r8th/3 r8th/3 quarter quarter quarter"),
        ("..U D D D", "4/4", "rquarter/3 8th/3 quarter quarter quarter"),
        (".U. D D D", "4/4", "r8th/3 8th/3 r8th/3 quarter quarter quarter"),
        ("D-. D D D", "4/4", "quarter/3 r8th/3 quarter quarter quarter"),
        ("DUDUDU D", "6/8", "16th 16th 16th 16th 16th 16th quarter."),
        ("D-D-DU D", "6/8", "8th 8th 16th 16th quarter."),
        ("D---DU D", "6/8", "quarter 16th 16th quarter."),
        ("D--DUD D", "6/8", "8th. 16th 16th 16th quarter."),
        ("D.D.D. D", "6/8", "16th r16th 16th r16th 16th r16th quarter."),
        ("D....U D", "6/8", "16th r16th r8th r16th 16th quarter."),
        (".U---- D", "6/8", "r16th 16th~quarter quarter."),
        ("DU D", "6/8", "8th. 8th. quarter."),
        ("DUDU D", "6/8", "16th. 16th. 16th. 16th. quarter."),
        ("D--U D", "6/8", "8th.~16th. 16th. quarter."),
        ("-D-- D", "6/8", "r16th. 16th.~8th. quarter."),
        ("D... D", "6/8", "16th. r16th. r8th. quarter."),
        ("D. D", "6/8", "8th. r8th. quarter."),
        ("D - - -", "12/8", "whole."),
        ("D - - D", "12/8", "half.~quarter. quarter."),
        ("D - D D", "12/8", "half. quarter. quarter."),
        ("D D - D", "12/8", "quarter. quarter.~quarter. quarter."),
        ("D D - -", "12/8", "quarter. quarter.~half."),
        ("D . . D", "12/8", "quarter. rquarter. rquarter. quarter."),
        ("D D . .", "12/8", "quarter. quarter. rhalf."),
        ("D . . .", "12/8", "quarter. rquarter. rhalf."),
        ("D D D--U -", "12/8", "quarter. quarter. 8th.~16th. 16th.~quarter."),
        ("D D -", "2+2+3/8", "quarter quarter~quarter."),
        ("DU -U ---", "2+2+3/8", "8th 8th~8th 8th~quarter."),
        ("D . .", "2+2+3/8", "quarter rquarter rquarter."),
        ("D - -", "2+2+3/8", "quarter~quarter~quarter."),
        ("D - D", "3+3+2/8", "quarter.~quarter. quarter"),
        ("D -U D D -", "3+2/4", "quarter. 8th quarter half"),
        ("D - - D -", "3+2/4", "half. half"),
        ("D - - - -", "3+2/4", "half.~half"),
        ("D -", "2/2", "whole"),
        ("DU -U", "2/2", "quarter half quarter"),
        ("D- -U", "2/2", "half. quarter"),
        ("D .", "2/2", "half rhalf"),
        ("D . . D", "4/4", "quarter rquarter rquarter quarter"),
        (". . D D", "4/4", "rhalf quarter quarter"),
        ("D D . .", "4/4", "quarter quarter rhalf"),
        ("D- .. .. D-", "4/4", "quarter rquarter rquarter quarter"),
        ("D. .. DU DU", "4/4", "8th r8th rquarter 8th 8th 8th 8th"),
        ("DU D. .U D", "4/4", "8th 8th 8th r8th r8th 8th quarter"),
        (". D D D", "4/4", "rquarter quarter quarter quarter"),
        ("D . D D", "4/4", "quarter rquarter quarter quarter"),
        ("D D D D | - - D D", "4/4", "quarter quarter quarter quarter | ~half quarter quarter"),
        ("D D D DU | -U D D D", "4/4", "quarter quarter quarter 8th 8th | ~8th 8th quarter quarter quarter"),
        ("D D D D | - - - -", "4/4", "quarter quarter quarter quarter | ~whole"),
        (
            "D D D DUD | -UD D D D",
            "4/4",
            "quarter quarter quarter 8th/3 8th/3 8th/3 | ~8th/3 8th/3 8th/3 quarter quarter quarter",
        ),
        ("D-- D-U D D", "4/4", "quarter quarter/3 8th/3 quarter quarter"),
        ("DU DUD", "2/4", "8th 8th 8th/3 8th/3 8th/3"),
        ("DUD -U", "2/4", "8th/3 8th/3 8th/3~8th 8th"),
        ("D- -UD D D", "4/4", "quarter~8th/3 8th/3 8th/3 quarter quarter"),
        ("DU -UD D D", "4/4", "8th 8th~8th/3 8th/3 8th/3 quarter quarter"),
        ("DU --- D D", "4/4", "8th 8th~quarter quarter quarter"),
        ("D - -U D", "4/4", "half~8th 8th quarter"),
        ("DU - - D", "4/4", "8th quarter.~quarter quarter"),
        ("DU - -U D", "4/4", "8th quarter.~8th 8th quarter"),
        ("D -- -U D", "4/4", "half~8th 8th quarter"),
        ("D - D", "3/4", "half quarter"),
        ("DU - D", "3/4", "8th 8th~quarter quarter"),
        ("DU -U -U", "3/4", "8th 8th~8th 8th~8th 8th"),
        ("D . .", "3/4", "quarter rquarter rquarter"),
        (". . D", "3/4", "rquarter rquarter quarter"),
        ("D - - - D", "5/4", "whole quarter"),
        ("D - D", "3/2", "whole half"),
    ],
)
def test_what_lies_in_a_beat_a_group_and_a_bar_is_spelled_by_the_rules(text, meter, spelling) -> None:
    assert spelled(text, meter) == spelling


def test_a_tuplet_stands_where_its_beat_does_in_every_bar() -> None:
    # Three in the time of two, six in the time of four (Gould 2011, from memory).
    bars = notes(parse("D DUD | D--U-U D", "2/4"))
    assert {note.tuplet for note in bars[0][1:]} == {Tuplet(3, 2, Fraction(1), Fraction(1))}
    assert {note.tuplet for note in bars[1][:-1]} == {Tuplet(6, 4, Fraction(2), Fraction(1))}


def test_a_note_says_exactly_what_is_written() -> None:
    (_, first, rest, second), (held, last) = notes(parse("D. .U | - D", "2/4"))
    assert rest == Note(Fraction(1), HALF, HALF)
    assert (second.tied_from, second.tied_to) == (False, True)
    assert (held.at, held.tied_from, held.tied_to) == (2, True, False)
    assert held.stroke is second.stroke
    assert (last.at, last.tied_from, last.tied_to) == (3, False, False)
    assert first.stroke is None
