"""Difficulty and what a hand can play."""

from __future__ import annotations

import pytest

from drillapp.music import FEATURES, difficulty, hindrances, parse
from drillapp.music.difficulty import SIGN_WEIGHTS


def test_every_feature_has_a_weight():
    assert set(SIGN_WEIGHTS) == set(FEATURES)


@pytest.mark.parametrize(
    ("easier", "harder"),
    [
        ("D D D D", "D DU D DU"),
        ("D DU D DU", "D- DU -U DU"),
        ("D- DU -U DU", "D- DU -U XU"),
        ("D D D D", "D D D D | D - D D"),
        ("DU DU DU DU", "DUDU DUDU DUDU DUDU"),
    ],
)
def test_another_sign_or_more_to_read_makes_it_harder(easier, harder):
    assert difficulty(parse(easier)) < difficulty(parse(harder))


def test_faster_is_harder():
    pattern = parse("DU DU DU DU")
    assert difficulty(pattern, 60) < difficulty(pattern, 120)
    assert difficulty(pattern, 120) == difficulty(parse("DU DU DU DU", tempo=120))


def test_difficulty_runs_from_nothing_to_one():
    everything = parse(">D-DU XUD. -UDU DUX | " * 3 + "DD-U >UXU DUD .U", "4/4", 200, "2:1")
    assert 0.0 <= difficulty(parse("D - - -", tempo=40)) <= 0.05
    assert 0.9 < difficulty(everything) <= 1.0


def test_eighths_down_and_up_at_120_can_be_played():
    assert hindrances(parse("DU DU DU DU", tempo=120)) == ()


def test_sixteenths_at_160_are_too_fast_for_the_arm():
    (message,) = hindrances(parse("DUDU DUDU DUDU DUDU", tempo=160))
    assert "a down and an up 0.094 s apart" in message


def test_the_arm_must_come_back_for_a_second_down():
    assert hindrances(parse("DD DD DD DD", tempo=150)) == ()
    (message,) = hindrances(parse("DD DD DD DD", tempo=170))
    assert "two strokes down" in message


def test_the_end_of_the_loop_counts_too():
    assert hindrances(parse("D - - D-DD", tempo=90)) != ()
    (message,) = hindrances(parse("D - - ---D", tempo=90))
    assert "from beat 4 of bar 1" in message
