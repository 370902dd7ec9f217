"""Slots: what the hand does at one place of a beat, and where the hand travels by itself.

A slot *rings* when it is not struck and what sounds goes on sounding; it *rests* when nothing sounds in it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from .errors import PatternError

Hand = Literal["down", "up"]
Action = Literal["strike", "ring", "rest"]
Number = int | float | Fraction

DIVISIONS = (1, 2, 3, 4, 6)


@dataclass(frozen=True)
class Slot:
    """One place of a beat: what the hand does there. ``hand`` is None where nothing is struck."""

    action: Action
    hand: Hand | None = None
    muted: bool = False
    accent: bool = False

    def __post_init__(self) -> None:
        struck = self.action == "strike"
        if struck is not (self.hand is not None) or (not struck and (self.muted or self.accent)):
            raise PatternError(
                "a struck slot names its hand; a slot that is not struck has no hand, mute or accent",
                code="slot-hand",
            )


RING = Slot("ring")
REST = Slot("rest")

Beat = tuple[Slot, ...]
Bar = tuple[Beat, ...]


def natural_hand(number: int, of: int, earlier_struck: bool = False) -> Hand:
    """Where the hand travels at slot ``number`` (from 0) of a beat of ``of`` slots.

    Evenly divided beats alternate from a down. In a beat of three the second slot goes up, the third
    down after a struck second slot and else up (``earlier_struck``): the hand keeps time.
    """
    if of == 3 and number == 2:
        return "down" if earlier_struck else "up"
    return "down" if number % 2 == 0 else "up"


def has_hand_rule(number: int, of: int) -> bool:
    """Whether the hand's motion at this slot is fixed, so that a stroke against it is a sign."""
    return of != 3 or number == 0
