"""Where on the page each stroke of a take fell, by its real time.

Conventions: seconds from the first beat; a ``share`` of 0.25 is a quarter of the way to the next slot, -0.25
to the one before.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

from drillapp.drills.verdicts import ACCENT_ADDED, ACCENT_MISSED, TIMING
from drillapp.music import Pattern

from .grade import Hit, SlotResult, StrumResult, repeated
from .reading import moments


@dataclass(frozen=True)
class PlacedStroke:
    """A stroke in round ``round`` (from 0) of the page, ``share`` of the way from slot ``slot`` on or back.

    ``accent``: it was played accented; ``wrong``: it is not what is written there, timing apart.
    """

    round: int
    slot: int
    share: float
    hit: Hit
    accent: bool
    wrong: bool


def place_of(due: Sequence[float], time: float) -> tuple[int, float]:
    """The slot nearest to a time and the share of the way beyond it; ``due``: of each slot, and the end.

    >>> place_of((0.0, 0.5, 1.0, 2.0), 0.55)
    (1, 0.1)
    >>> place_of((0.0, 0.5, 1.0, 2.0), -0.1)
    (0, -0.2)
    """
    last = len(due) - 2
    at = min(bisect_left(due, time, 0, last + 1), last)
    if at and time - due[at - 1] < due[at] - time:
        at -= 1
    off = time - due[at]
    step = due[at + 1] - due[at] if off >= 0 or not at else due[at] - due[at - 1]
    return at, round(off / step, 6)


def placed(
    pattern: Pattern, tempo: float, hits: Sequence[Hit], result: StrumResult, times: int = 1
) -> tuple[PlacedStroke, ...]:
    """Every stroke of a scored take at its place; ``result`` is what ``grade_strum`` gave for it."""
    due = moments(repeated(pattern, times), tempo)
    slots = len(pattern.places)
    rounds = result.rounds or (result.slots,)
    judged: dict[int, SlotResult] = {
        one.hit: one for slots_of in rounds for one in slots_of if one.hit is not None
    }
    found = []
    for number, hit in enumerate(hits):
        at, share = place_of(due, hit.time)
        slot = judged.get(number)
        written = slot is not None and pattern.places[slot.index].slot.accent
        verdicts = frozenset[str]() if slot is None else slot.verdicts
        accent = ACCENT_ADDED in verdicts or (written and ACCENT_MISSED not in verdicts)
        wrong = slot is None or bool(verdicts - TIMING)
        found.append(PlacedStroke(at // slots, at % slots, share, hit, accent, wrong))
    return tuple(found)
