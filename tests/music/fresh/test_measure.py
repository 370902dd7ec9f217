"""The quick measures say what the slow ones say; and published rhythms come out as published."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillapp.music import Meter, hindrances, parse, syncopation
from drillapp.music.features import features_of
from drillapp.music.fresh.measure import Mark, bars_of, fastest, features, settle, syncopated
from drillapp.music.pattern import Pattern
from drillapp.music.slots import natural_hand

METERS = ("4/4", "3/4", "2/2", "6/8", "12/8", "2+2+3/8", "5/4")


def slots_of(pattern: Pattern) -> list[Mark]:
    found = []
    for place in pattern.places:
        if place.struck:
            beat = pattern.bars[place.bar][place.beat]
            natural = natural_hand(place.number, place.of, place.of == 3 and beat[1].action == "strike")
            sign = "D" if natural == "down" else "U"
        else:
            natural, sign = None, "-" if place.slot.action == "ring" else "."
        slot = Mark(sign, place.bar, place.beat, place.number, place.of, place.slot.muted, place.slot.accent)
        slot.flipped = place.struck and place.slot.hand != natural
        found.append(slot)
    return found


IN_THREE = ("D", "-", ".", "DUD", "-UD", "U", "D-U", "X--", "D..", "D-DUDU", ">DUD")
IN_TWO = (*IN_THREE, "DU", "-U", "D.", "DX", "D-DU", "-UDU", "DD", ">D-", "X-", "UD")


@st.composite
def patterns(draw):
    meter = draw(st.sampled_from(METERS))
    beats = Meter.parse(meter)
    kinds = [IN_THREE if beats.is_compound(beat) else IN_TWO for beat in range(len(beats.beats))]
    bar = st.tuples(*map(st.sampled_from, kinds)).map(" ".join)
    text = " | ".join(draw(st.lists(bar, min_size=1, max_size=3)))
    return parse(text, meter, draw(st.integers(40, 160)), draw(st.sampled_from([None, "2:1"])))


@given(patterns())
@settings(max_examples=400, deadline=None)
def test_the_quick_measures_agree_with_the_slow_ones(pattern):
    slots = slots_of(pattern)
    settle(slots)
    assert bars_of(slots) == pattern.bars
    assert features(slots, pattern.meter, pattern.swing is not None) == features_of(pattern)
    assert syncopated(slots, pattern.meter) == syncopation(pattern)
    bound = fastest(slots, pattern.meter, len(pattern.bars), pattern.swing)
    if pattern.strokes and 20 < bound < 400:
        assert hindrances(pattern, bound * 0.999) == ()
        assert hindrances(pattern, bound * 1.001) != ()


# G. T. Toussaint, The Euclidean algorithm generates traditional musical rhythms, BRIDGES 2005, 47-56:
# strokes, steps, intervals as listed there (after public transcriptions of the paper), and as it is strummed.
EUCLIDEAN = [
    (2, 5, "23", "D- D--", "2+3/8"),
    (3, 7, "223", "D- D- D--", "2+2+3/8"),
    (3, 8, "332", "D- -U -- D-", "4/4"),
    (4, 7, "2221", "D- D- D-U", "2+2+3/8"),
    (5, 7, "21211", "D-U D- DU", "3+2+2/8"),
    (5, 8, "21212", "D- DU -U D-", "4/4"),
    (5, 12, "32322", "D-- D-U --U -U-", "12/8"),
    (7, 12, "2122122", "D-U D-U -UD -U-", "12/8"),
    (7, 16, "3223222", "D--U -U-U --D- D-D-", "4/4"),
    (4, 12, "3333", "D D D D", "12/8"),
    (5, 9, "22221", "D-U -U- D-U", "9/8"),
    (9, 16, "212221222", "D-DU -U-U -UD- D-D-", "4/4"),
]


def euclidean(strokes: int, steps: int) -> list[int]:
    """Intervals of the rhythm that spreads the strokes as evenly as whole steps allow (E. Bjorklund 2003)."""
    starts = [step * steps // strokes for step in range(strokes)]
    return [after - start for start, after in zip(starts, [*starts[1:], steps], strict=True)]


@pytest.mark.parametrize(("strokes", "steps", "listed", "text", "meter"), EUCLIDEAN)
def test_euclidean_rhythms_have_the_intervals_of_the_published_list(strokes, steps, listed, text, meter):
    pattern = parse(text, meter)
    step = pattern.length / steps
    at = [stroke.at for stroke in pattern.strokes]
    found = [int((after - before) / step) for before, after in pairwise([*at, at[0] + pattern.length])]
    assert found == [int(digit) for digit in listed]
    even = euclidean(strokes, steps)
    assert found in [even[n:] + even[:n] for n in range(strokes)] or found[::-1] in [
        even[n:] + even[:n] for n in range(strokes)
    ]


# Values of H. C. Longuet-Higgins and C. S. Lee's measure on which public implementations agree (see
# tests/reference/syncopation.csv for the rest), here for the generator's own count.
@pytest.mark.parametrize(
    ("text", "meter", "value"),
    [
        ("D D D D", "4/4", 0),
        ("DU DU DU DU", "4/4", 0),
        ("D- -U DU D-", "4/4", 0),
        ("DU -U DU -U", "4/4", 2),
        ("D- DU -U D-", "4/4", 2),
        ("D- -U -- D-", "4/4", 2),
        ("D- -U -- --", "4/4", 2),
        ("D- DU -U DU", "4/4", 2),
        ("D- -U -U -U", "4/4", 3),
        ("D--U --D- --D- D---", "4/4", 4),
        ("D--U --D- --D- --D-", "4/4", 5),
        ("D--U --D- --D- -U--", "4/4", 6),
        ("D--U --D- --DU ----", "4/4", 6),
        ("D--- --D- --D- D---", "4/4", 2),
    ],
)
def test_the_quick_count_of_syncopation_gives_the_published_values(text, meter, value):
    pattern = parse(text, meter)
    slots = slots_of(pattern)
    settle(slots)
    assert syncopated(slots, pattern.meter) == value
