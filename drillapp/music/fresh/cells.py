"""The cells that fresh patterns are made of: what one beat may look like, and how usual it is.

A cell is the text of one beat, unmuted and unaccented, in natural hands. Weights say how often it is met in
strummed music (common practice, no source). Mutes, accents and strokes against the hand are put on later.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from drillapp.music.features import slot_feature
from drillapp.music.slots import natural_hand

#: Beats that divide in two or four, or, as triplets, in three.
SIMPLE: dict[str, float] = {
    "D": 9.0,
    "-": 1.7,
    ".": 0.9,
    "DU": 4.0,
    "-U": 2.2,
    "D.": 1.2,
    ".U": 0.8,
    "-.": 0.1,
    "D-DU": 5.5,
    "DUDU": 2.4,
    "DUD-": 1.2,
    "DU-U": 0.8,
    "D--U": 2.0,
    "-UDU": 1.4,
    "-UD-": 0.4,
    "--DU": 0.3,
    "-U-U": 0.2,
    "D.DU": 0.5,
    ".UDU": 0.3,
    "DUD.": 0.4,
    "DUD": 5.0,
    "D-U": 1.8,
    "DU-": 0.3,
    "-UD": 0.3,
    "--U": 0.2,
    ".UD": 0.1,
}

#: Beats that divide in three (6/8 and its kin); six slots are sixteenths there.
COMPOUND: dict[str, float] = {
    "D": 4.0,
    "-": 0.8,
    ".": 0.6,
    "D-U": 7.0,
    "DUD": 8.0,
    "DU-": 0.5,
    "--U": 0.5,
    "-UD": 0.8,
    "D.U": 0.3,
    "D..": 1.5,
    "..U": 0.2,
    ".UD": 0.3,
    "D-D-DU": 2.5,
    "D-DUD-": 1.5,
    "DUD-D-": 1.0,
    "D-DUDU": 1.5,
    "D---DU": 1.0,
    "DUDUDU": 0.4,
}

#: How much more or less usual than by itself a cell is after another one.
AFTER: dict[tuple[str, str], float] = {
    ("D", "D"): 1.4,
    ("D", "-"): 1.3,
    ("DU", "DU"): 3.2,
    ("DU", "-"): 0.3,
    ("DU", "-U"): 1.3,
    ("-U", "-U"): 0.9,
    ("-", "-"): 2.0,
    (".", "."): 1.0,
    ("D-DU", "D-DU"): 1.7,
    ("D-DU", "-UDU"): 1.8,
    ("DUD", "DUD"): 2.6,
    ("D-U", "D-U"): 1.8,
}

#: The same for the first and the last beat of a pattern.
FIRST: dict[str, float] = {"D": 1.4, "DU": 0.8, "DUD": 0.8}
LAST: dict[str, float] = {"-": 2.4, "-U": 0.5, ".": 2.2, "D.": 1.6, "DU": 1.0}

#: A bar of three simple beats leaves room after its first (common practice: one low stroke, two high ones).
FIRST_OF_THREE = 0.35

#: Where there are only whole beats, holding them is what makes a rhythm.
HOLD_IN_STEPS = 2.5


@dataclass(frozen=True)
class Cell:
    """A cell with what it shows by itself and how it meets its neighbours.

    ``leaves``: whether the strings ring at its end (None: as at its start). ``pushes``: its last stroke comes
    after its first slot and rings on. ``complexity``: 0 for a plain beat, about 1 for the busiest.
    """

    text: str
    weight: float
    features: frozenset[str]
    strokes: int
    leaves: bool | None
    pushes: bool
    complexity: float


@cache
def cells(compound: bool) -> tuple[Cell, ...]:
    """All cells for a simple or a compound beat."""
    table = COMPOUND if compound else SIMPLE
    return tuple(_cell(text, weight, compound) for text, weight in table.items())


def _cell(text: str, weight: float, compound: bool) -> Cell:
    features: set[str] = set()
    of = len(text)
    leaves: bool | None = None
    for number, mark in enumerate(text):
        if mark == ".":
            features.add("rest")
            leaves = False
        elif mark == "-":
            features |= {"skip"} if of > 1 else set()
        else:
            earlier = of > 1 and text[1] in "DU"
            assert mark == ("D" if natural_hand(number, of, earlier) == "down" else "U"), text
            features.add(slot_feature(number, of, compound))
            leaves = True
    struck = [number for number, mark in enumerate(text) if mark in "DU"]
    complexity = {1: 0.0, 2: 0.25, 3: 0.3 if compound else 0.6, 4: 0.7, 6: 0.8}[of]
    complexity += 0.2 * (text[0] != "D") + 0.1 * ("." in text)
    pushes = bool(struck) and struck[-1] > 0 and leaves is True
    return Cell(text, weight, frozenset(features), len(struck), leaves, pushes, complexity)
