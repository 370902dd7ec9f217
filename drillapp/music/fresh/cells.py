"""The cells that fresh patterns are made of: what one beat may look like, and how usual it is.

A cell is one beat, as a pattern's text writes it. Weights say how often a beat that no deck may have is met
in strummed music (common practice, no source); how usual those of the decks are is counted (``habits``).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from drillapp.music.features import slot_feature
from drillapp.music.slots import has_hand_rule, natural_hand

from .habits import known_beats

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

#: For each slot its sign in natural hands, whether muted, accented, against the hand.
Slots = tuple[tuple[str, bool, bool, bool], ...]


@dataclass(frozen=True)
class Cell:
    """A beat as it may be written, with what it shows by itself and how it meets its neighbours.

    ``leaves``: whether the strings ring at its end (None: as at its start). ``pushes``: its last stroke comes
    after its first slot and rings on. ``complexity``: 0 for a plain beat, about 1 for the busiest.
    """

    text: str
    slots: Slots
    weight: float
    features: frozenset[str]
    strokes: int
    leaves: bool | None
    pushes: bool
    complexity: float

    @property
    def opens(self) -> str:
        """The sign of its first slot."""
        return self.slots[0][0]

    @property
    def gapped(self) -> bool:
        """Whether it rings on inside itself."""
        return any(slot[0] == "-" for slot in self.slots[1:])


@cache
def cells(compound: bool) -> tuple[Cell, ...]:
    """All cells for a simple or a compound beat: those of the tables here and those of the decks."""
    table = COMPOUND if compound else SIMPLE
    total = sum(table.values())
    texts = {**table, **{text: 0.0 for text in known_beats(compound) if text not in table}}
    return tuple(_cell(text, weight / total, compound) for text, weight in texts.items())


def _cell(text: str, weight: float, compound: bool) -> Cell:
    features: set[str] = set()
    slots = _slots(text)
    of = len(slots)
    leaves: bool | None = None
    for number, (sign, muted, accent, flipped) in enumerate(slots):
        if sign == ".":
            features |= {"rest", "skip"}
            leaves = False
        elif sign == "-":
            features |= {"skip"} if of > 1 else set()
        else:
            features.add(slot_feature(number, of, compound))
            features |= {"mute"} if muted else set()
            features |= {"accent"} if accent else set()
            features |= {"direction"} if flipped and has_hand_rule(number, of) else set()
            leaves = not muted
    struck = [number for number, slot in enumerate(slots) if slot[0] in "DU"]
    complexity = {1: 0.0, 2: 0.25, 3: 0.3 if compound else 0.6, 4: 0.7, 6: 0.8}[of]
    complexity += 0.2 * (slots[0][0] != "D") + 0.1 * ("." in text)
    pushes = bool(struck) and struck[-1] > 0 and leaves is True
    return Cell(text, slots, weight, frozenset(features), len(struck), leaves, pushes, complexity)


def _slots(text: str) -> Slots:
    plain = text.replace(">", "")
    earlier = len(plain) > 1 and plain[1] in _STRUCK
    found = []
    accent = False
    number = 0
    for mark in text:
        if mark == ">":
            accent = True
            continue
        sign = mark
        if mark in _STRUCK:
            sign = "D" if natural_hand(number, len(plain), earlier) == "down" else "U"
            found.append((sign, mark in "Xdu", accent, mark != "X" and mark.upper() != sign))
        else:
            found.append((sign, False, False, False))
        accent = False
        number += 1
    return tuple(found)


_STRUCK = "DUXdu"
