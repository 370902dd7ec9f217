"""The staff's spelling. Rules: Gould, Behind Bars, 2011; Read, Music Notation, 1979 (both from memory)."""

from __future__ import annotations

import sys
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings

sys.path.insert(0, str(Path(__file__).parent))
from strategies import patterns

from drillapp.music import notes, parse

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
