"""Strokes stand on the page where they were played. Source: arithmetic of the tempo."""

from __future__ import annotations

import pytest

from drillapp.drills.strum.grade import Hit, grade_strum
from drillapp.drills.strum.placed import place_of, placed
from drillapp.music import parse

PAGE = parse("D- DU -U DU", tempo=60)


def played(*, shift: float = 0.0, leave: int | None = None, times: int = 1) -> list[Hit]:
    hits = []
    for again in range(times):
        for number, one in enumerate(PAGE.strokes):
            if number != leave:
                hits.append(Hit(PAGE.seconds(one.at) + 4.0 * again + shift, one.hand))
    return hits


def where(hits: list[Hit], times: int = 1):
    return placed(PAGE, 60, hits, grade_strum(PAGE, 60, hits, times=times), times)


def test_a_stroke_in_time_stands_at_its_slot() -> None:
    assert [(one.slot, one.share) for one in where(played())] == [
        (0, 0.0),
        (2, 0.0),
        (3, 0.0),
        (5, 0.0),
        (6, 0.0),
        (7, 0.0),
    ]


@pytest.mark.parametrize(("late", "share"), [(0.05, 0.1), (-0.05, -0.1)])
def test_late_stands_after_its_slot_and_early_before(late: float, share: float) -> None:
    # A slot of half a second: 50 ms are a tenth of the way.
    assert {one.share for one in where(played(shift=late))} == {share}


def test_all_right_is_nowhere_wrong_and_a_stroke_where_none_is_written_is() -> None:
    assert not any(one.wrong for one in where(played()))
    extra = sorted([*played(), Hit(0.5, "up")], key=lambda hit: hit.time)
    assert [one.slot for one in where(extra) if one.wrong] == [1]


def test_the_second_time_through_is_a_round_of_its_own() -> None:
    found = where(played(times=2), times=2)
    assert [one.round for one in found] == [0] * 6 + [1] * 6
    assert [one.slot for one in found[:6]] == [one.slot for one in found[6:]]


def test_accents_are_told_by_the_players_own_strokes() -> None:
    hits = [Hit(one.time, one.hand, force=0.9 if one.time == 1.0 else 0.45) for one in played()]
    assert [one.slot for one in where(hits) if one.accent] == [2]


def test_before_the_first_and_after_the_last_slot_there_is_room_too() -> None:
    due = (0.0, 0.5, 1.0, 1.5)
    assert place_of(due, -0.2) == (0, -0.4)
    assert place_of(due, 1.3) == (2, 0.6)
    assert place_of(due, 1.9) == (2, 1.8)
