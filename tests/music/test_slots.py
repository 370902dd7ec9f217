"""A slot and where the hand travels. Common practice, no source: the hand swings down and up by itself."""

from __future__ import annotations

import pytest

from drillapp.music import REST, RING, PatternError, Slot, natural_hand
from drillapp.music.slots import has_hand_rule


@pytest.mark.parametrize(
    "wrong",
    [
        {"action": "strike"},
        {"action": "ring", "hand": "down"},
        {"action": "rest", "hand": "up"},
        {"action": "rest", "muted": True},
        {"action": "ring", "accent": True},
    ],
)
def test_only_a_stroke_has_a_hand_and_signs_of_its_own(wrong) -> None:
    with pytest.raises(PatternError) as caught:
        Slot(**wrong)
    assert caught.value.code == "slot-hand"


def test_a_stroke_may_be_muted_accented_or_both() -> None:
    assert Slot("strike", "up", True, True).accent
    assert (RING.action, REST.action) == ("ring", "rest")


@pytest.mark.parametrize(
    ("of", "hands"),
    [(1, "D"), (2, "DU"), (4, "DUDU"), (6, "DUDUDU"), (3, "DUU")],
)
def test_the_hand_goes_down_and_up_in_turn(of, hands) -> None:
    assert "".join("D" if natural_hand(n, of) == "down" else "U" for n in range(of)) == hands


def test_in_a_beat_of_three_the_third_follows_the_second() -> None:
    assert natural_hand(2, 3, earlier_struck=True) == "down"
    assert natural_hand(2, 3, earlier_struck=False) == "up"
    assert natural_hand(1, 3, earlier_struck=True) == "up"
    assert natural_hand(2, 4, earlier_struck=False) == "down"
    assert [has_hand_rule(n, 3) for n in range(3)] == [True, False, False]
    assert all(has_hand_rule(n, 4) for n in range(4))
