"""Patterns made for the notation tests, the same on every run."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from drillapp.music import Meter, Pattern, natural_hand, parse

METERS = ("4/4", "4/4", "4/4", "3/4", "2/4", "6/8", "12/8", "9/8", "2+2+3/8", "3+2/8", "5/4", "2/2", "4/8")
RARE_METERS = ("6/16", "4/16", "2/1", "3+2+2/16", "6/4", "3/8")


def make_pattern(seed: int) -> Pattern:
    """A pattern of one to four bars in any meter, with every sign that pattern text can write."""
    rng = random.Random(seed)
    rare = seed % 30 == 29
    meter = Meter.parse(rng.choice(RARE_METERS) if rare else METERS[seed % len(METERS)])
    bars = []
    for _ in range(3 + seed % 2 if seed % 40 == 0 else rng.choice((1, 1, 1, 2))):
        beats = []
        for beat in range(len(meter.beats)):
            compound = meter.is_compound(beat)
            divisions = (1, 3, 3, 3, 6, 2) if compound else (1, 2, 2, 2, 4, 4, 3, 6)
            beats.append(_beat(rng, rng.choice(divisions)))
        bars.append(" ".join(beats))
    swing = rng.choice((None, None, None, "2:1", "3:1", "3:2"))
    return parse(" | ".join(bars), meter.text, rng.choice((60, 84, 90, 92.5, 120)), swing)


def _beat(rng: random.Random, slots: int) -> str:
    marks = ""
    for number in range(slots):
        kind = rng.random()
        if kind < 0.26:
            marks += "-"
        elif kind < 0.36:
            marks += "."
        else:
            accent = ">" if rng.random() < 0.15 else ""
            hand = natural_hand(number, slots)
            if rng.random() < 0.1:
                hand = "up" if hand == "down" else "down"
            letter = hand[0] if rng.random() < 0.2 else hand[0].upper()
            marks += accent + ("X" if rng.random() < 0.1 else letter)
    return marks


@pytest.fixture(scope="session")
def generated() -> Callable[[int], list[Pattern]]:
    """``generated(count)`` gives so many different patterns, always the same ones."""

    def give(count: int) -> list[Pattern]:
        return [make_pattern(seed) for seed in range(count)]

    return give
