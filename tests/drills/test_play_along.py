"""Play along: which tempo and which chords each round has.

What is expected follows from the words alone: a tempo that rises by so much after so many rounds, a chord a
bar or every so many bars (common practice, no source).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drillapp.drills.play_along import Round, Wish, next_round


def rounds(wish: Wish, bars: int, count: int) -> list[Round]:
    made = [next_round(wish, bars)]
    while len(made) < count:
        made.append(next_round(wish, bars, made[-1]))
    return made


def test_the_tempo_rises_by_the_step_after_so_many_rounds() -> None:
    made = rounds(Wish(80, 200, step=4, every=2), 1, 7)
    assert [one.tempo for one in made] == [80, 80, 84, 84, 88, 88, 92]
    assert [one.number for one in made] == [1, 2, 3, 4, 5, 6, 7]


def test_it_rises_no_further_than_the_fastest_and_not_at_all_without_a_step() -> None:
    assert [one.tempo for one in rounds(Wish(96, 100, step=10, every=1), 1, 4)] == [96, 100, 100, 100]
    assert {one.tempo for one in rounds(Wish(96, 200, step=0, every=1), 1, 9)} == {96}


def test_a_tempo_chosen_by_hand_holds_from_the_next_round_and_is_counted_anew() -> None:
    wish = Wish(80, 200, step=4, every=3)
    made = rounds(wish, 1, 3)
    made.append(next_round(wish, 1, made[-1], tempo=70))
    for _ in range(3):
        made.append(next_round(wish, 1, made[-1]))
    assert [one.tempo for one in made] == [80, 80, 80, 70, 70, 70, 74]


def test_one_chord_a_bar_or_every_so_many_bars() -> None:
    four = ("G", "C", "D", "Em")
    assert [one.chords for one in rounds(Wish(80, 200, chords=four), 2, 3)] == [
        ("G", "C"),
        ("D", "Em"),
        ("G", "C"),
    ]
    assert [one.chords for one in rounds(Wish(80, 200, chords=four, bars_a_chord=2), 1, 5)] == [
        ("G",),
        ("G",),
        ("C",),
        ("C",),
        ("D",),
    ]


@given(
    bars=st.integers(1, 4),
    chords=st.lists(st.sampled_from("ABC"), min_size=1, max_size=4),
    each=st.integers(1, 4),
    every=st.integers(1, 8),
    step=st.integers(0, 10),
)
def test_bars_go_on_without_a_gap_whatever_is_chosen(
    bars: int, chords: list[str], each: int, every: int, step: int
) -> None:
    made = rounds(Wish(60, 120, step, every, tuple(chords), each), bars, 40)
    shown = [chord for one in made for chord in one.chords]
    assert shown == [chords[bar // each % len(chords)] for bar in range(40 * bars)]
    assert [one.tempo for one in made] == [min(60 + step * (n // every), 120) for n in range(40)]


@pytest.mark.parametrize("bad", [{"chords": ()}, {"step": -1}, {"every": 0}, {"bars_a_chord": 0}])
def test_a_wish_that_cannot_be_is_refused(bad: dict) -> None:
    with pytest.raises(ValueError):
        Wish(80, 200, **bad)
