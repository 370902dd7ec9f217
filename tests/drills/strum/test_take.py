"""When a take of Strum it is over."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drillapp.drills.strum.grade import Hit, grade_strum
from drillapp.drills.strum.take import LEAST_AFTER, MOST_AFTER, Take
from drillapp.music import Pattern, parse

PAGE = parse("D- DU -U DU", tempo=60)  # a slot every half second, the last one due at 3.5


def strokes(pattern: Pattern, rate: float = 1.0, lag: float = 0.0) -> list[Hit]:
    return [Hit(pattern.seconds(one.at) * rate + lag, one.hand, one.muted) for one in pattern.strokes]


def take_of(hits: list[Hit], pattern: Pattern = PAGE, **more) -> Take:
    take = Take(pattern, float(pattern.tempo), **more)
    for hit in hits:
        take.add(hit)
    return take


@pytest.mark.parametrize("lag", [-0.08, 0.0, 0.15])
@pytest.mark.parametrize("times", [1, 2])
def test_a_take_that_was_read_right_is_over_with_its_last_stroke(lag, times) -> None:
    page = replace(PAGE, bars=PAGE.bars * times)
    hits = strokes(page, lag=lag)
    before, after = take_of(hits[:-1], times=times), take_of(hits, times=times)
    assert not before.complete and before.until > hits[-1].time
    assert after.complete and after.until == hits[-1].time


def test_an_extra_stroke_does_not_end_a_take_before_its_last_stroke() -> None:
    hits = strokes(PAGE)
    with_extra = sorted([*hits[:-1], Hit(2.0, "down")], key=lambda hit: hit.time)
    assert len(with_extra) == len(hits)
    take = take_of(with_extra)
    assert not take.complete and take.until > 3.5


@pytest.mark.parametrize("text", ["D- DU -U D-", "D- DU -U .."])
def test_a_page_that_ends_in_silence_is_listened_to_through_its_last_slot(text) -> None:
    take = take_of(strokes(parse(text, tempo=60)), parse(text, tempo=60))
    assert not take.complete
    assert take.until == pytest.approx(3.5 + MOST_AFTER)


def test_who_falls_behind_is_heard_to_the_end() -> None:
    # 12 % slower than counted in is still scored (15 % is the limit); over eight bars that is 3.8 s behind.
    page = parse(" | ".join(["D- DU -U DU"] * 8), tempo=60)
    take, heard = Take(page, 60), []
    for hit in strokes(page, rate=1.12):
        if hit.time > take.until:
            break
        take.add(hit)
        heard.append(hit)
    assert len(heard) == len(page.strokes)
    assert grade_strum(page, 60, heard).right


def test_a_take_ends_however_long_someone_strums_on() -> None:
    take = take_of([Hit(n / 10, "down") for n in range(300)])
    assert take.until == pytest.approx(4 * 1.15 + MOST_AFTER)
    assert not take.complete


def test_nothing_played_is_waited_for_about_a_beat() -> None:
    assert take_of([]).until == pytest.approx(3.5 + MOST_AFTER)
    fast = parse("DU DU DU DU", tempo=200)
    assert take_of([], fast).until == pytest.approx(fast.seconds(fast.places[-1].at) + LEAST_AFTER)


def test_each_slot_of_each_round_is_due_in_turn() -> None:
    due = Take(PAGE, 120, times=2).due
    assert due == tuple(n / 4 for n in range(16))
