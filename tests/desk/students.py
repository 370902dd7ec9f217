"""Planted students for the tests: whoever reads some signs worse, by answers as the drills record them.

Conventions: a month is 20 days of 40 picked answers with one guess in two and 10 pages by hand with two signs
each; what is planted is read right .60 (without guessing), all else .92, as the design's own example has it.
"""

from __future__ import annotations

import random
from collections.abc import Collection

from drillapp.records import Entry
from drillapp.records.entries import SignEntry

SIGNS = ("beat", "offbeat", "skip", "tie", "rest", "mute", "accent", "sixteenth", "triplet", "swing", "meter")
NOON = 1_790_000_000.0
DAY = 86_400.0


def planted(
    seed: int,
    weak: Collection[str] = (),
    days: int = 20,
    picked: int = 40,
    by_hand: int = 10,
    low: float = 0.60,
    level: float = 0.92,
) -> list[Entry]:
    rng = random.Random(seed)
    entries = []
    for day in range(days):
        for number in range(picked + by_hand):
            hand = number >= picked
            guess = 0.0 if hand else 0.5
            signs = []
            for sign in rng.sample(SIGNS, 2 if hand else 1):
                knows = rng.random() < (low if sign in weak else level)
                right = knows or rng.random() < guess
                signs.append(SignEntry((sign,), "tied on", "tied on" if right else "struck", right, guess))
            entries.append(
                Entry(
                    NOON + day * DAY + number * 20.0,
                    0,
                    rng.choice(("D- DU -U DU", "D- D- D- DU", "D- DU D. DU")),
                    90.0,
                    ("letters", "staff"),
                    rng.random() < 0.4,
                    True,
                    8.0,
                    (signs[0].features[0],),
                    tuple(signs),
                )
            )
    return entries
