"""What Strum it and Write it down share: a whole pattern is read, and looked at slot by slot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from drillapp.drills.dictation import WrittenSlot
from drillapp.drills.pick import Evidence
from drillapp.drills.slot_evidence import SignRead
from drillapp.drills.strum.grade import Hit, SlotResult, StrumResult
from drillapp.drills.tasks import Task, readable
from drillapp.music import Pattern, features_to_ask

from .kind import Graded, Put, Recorded, Turn


@dataclass(frozen=True)
class SlotBySlot:
    """What a page that was played or written came to.

    ``page``: what was to be read, on the slots that were judged; ``verdicts``: every word that can be said of
    a slot, in order; ``written``: what was written down; ``played``: how it was strummed, and
    ``hits``: by which strokes. What was not asked for is None, or empty.
    """

    page: Pattern
    slots: Sequence[SlotResult] | Sequence[WrittenSlot]
    verdicts: tuple[str, ...]
    written: Pattern | None = None
    played: StrumResult | None = None
    hits: tuple[Hit, ...] = ()


def whole_pages(turn: Turn) -> Iterator[Put[None]]:
    """Patterns that show all the signs asked for, as they are."""
    for base in turn.bases:
        shows = features_to_ask(base.pattern) <= turn.within
        if shows and set(turn.features) <= readable(base.pattern, base.layers):
            yield Put(base, base.pattern, base.layers, (base.pattern,), None)


def not_read(task: Task[Any]) -> Graded:
    """Not sure, in place of playing or writing: the signs asked about were not read."""
    signs = tuple(
        SignRead(Fraction(0), feature, None, Evidence((feature,), False, 0.0, True)) for feature in task.asked
    )
    return Graded(False, signs, recorded=Recorded(extra={"not_sure": True}))


def slots_recorded(slots: Sequence[SlotResult] | Sequence[WrittenSlot]) -> list[list[str]]:
    """What was wrong, for the log: place and verdicts of each slot that has some."""
    return [[str(slot.at), *sorted(slot.verdicts)] for slot in slots if slot.verdicts]
