"""A sheet to fill: slots on a ruler, each empty, struck, muted, accented, ringing on or silent."""

from __future__ import annotations

from dataclasses import dataclass, replace

from .pattern import Pattern
from .slots import REST, RING, Hand, Slot, natural_hand
from .ways import ACCENTED, MUTED, RINGING, SILENT, STRUCK

#: what a tap makes of a slot, in turn; after the last one it is empty again
CYCLE: tuple[str, ...] = (STRUCK, MUTED, ACCENTED, RINGING, SILENT)

STROKES = frozenset({STRUCK, MUTED, ACCENTED})


@dataclass(frozen=True)
class Sheet:
    """Slots to be filled on a ruler (a Pattern whose places they are); None where still empty."""

    ruler: Pattern
    slots: tuple[Slot | None, ...]

    @property
    def full(self) -> bool:
        return None not in self.slots

    @property
    def pattern(self) -> Pattern:
        """What is written so far, to be heard; empty slots are silent."""
        return self.ruler.with_slots({n: slot or REST for n, slot in enumerate(self.slots)})

    def way(self, index: int) -> str | None:
        """Which of CYCLE a slot is; a stroke that is muted and accented is muted. None where empty."""
        slot = self.slots[index]
        if slot is None:
            return None
        if slot.action != "strike":
            return RINGING if slot.action == "ring" else SILENT
        return MUTED if slot.muted else ACCENTED if slot.accent else STRUCK

    def tapped(self, index: int) -> Sheet:
        """The sheet after a tap on a slot: the next of CYCLE, empty after the last.

        >>> from drillapp.music import parse
        >>> page = parse("D- DU -U DU")
        >>> sheet = Sheet(page, (None,) * len(page.places))
        >>> [sheet := sheet.tapped(1)][0].way(1), sheet.tapped(1).way(1)
        ('struck', 'muted')
        """
        way = self.way(index)
        turn = 0 if way is None else CYCLE.index(way) + 1
        return self.filled(index, CYCLE[turn] if turn < len(CYCLE) else None)

    def filled(self, index: int, way: str | None) -> Sheet:
        """The sheet with a slot filled in one of the ways of CYCLE, or emptied. Raises ValueError."""
        if way is not None and way not in CYCLE:
            raise ValueError(f"{way!r} is not a way to fill a slot; choose from {', '.join(CYCLE)}")
        if way in STROKES:
            return self._with(index, Slot("strike", self._hand(index), way == MUTED, way == ACCENTED))
        return self._with(index, None if way is None else RING if way == RINGING else REST)

    def struck(self, index: int, hand: Hand) -> Sheet:
        """The sheet with a plain stroke of this hand in a slot."""
        return self._with(index, Slot("strike", hand))

    def turned(self, index: int) -> Sheet:
        """The sheet with a stroke in the other direction; other slots stay as they are."""
        slot = self.slots[index]
        if slot is None or slot.action != "strike":
            return self
        return self._with(index, replace(slot, hand="up" if slot.hand == "down" else "down"))

    def marked(self, index: int) -> Sheet:
        """The sheet with a stroke's accent put on or taken off, so that a mute can have one too."""
        slot = self.slots[index]
        if slot is None or slot.action != "strike":
            return self
        return self._with(index, replace(slot, accent=not slot.accent))

    def _hand(self, index: int) -> Hand:
        place = self.ruler.places[index]
        before = self.slots[index - 1] if place.number == 2 else None
        return natural_hand(place.number, place.of, before is not None and before.action == "strike")

    def _with(self, index: int, slot: Slot | None) -> Sheet:
        return replace(self, slots=(*self.slots[:index], slot, *self.slots[index + 1 :]))
