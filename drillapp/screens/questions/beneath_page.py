"""What was played or written as rows beneath the page that it was read from."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from drillapp.drills.dictation import EMPTY as LEFT_EMPTY
from drillapp.drills.kinds.by_hand import SlotBySlot
from drillapp.drills.strum.placed import PlacedStroke
from drillapp.drills.verdicts import TIMING
from drillapp.music import Pattern
from drillapp.notation.beneath import EMPTY, RINGS, SILENT, Mark, Row
from drillapp.words.after import row_played, row_sounded, row_written


def rows_played(strokes: Sequence[PlacedStroke], times: int) -> tuple[Row, ...]:
    """A row for each time through the page: its strokes where they were played."""
    return tuple(
        Row(
            row_played(number + 1, times),
            tuple(stroke_mark(one) for one in strokes if one.round == number),
            timed=True,
        )
        for number in range(times)
    )


def stroke_mark(one: PlacedStroke) -> Mark:
    """A stroke at its place."""
    return Mark(one.slot, one.hit.hand, one.share, one.hit.muted, one.accent, one.wrong)


def rows_written(detail: SlotBySlot, written: Pattern, layers: Collection[str]) -> tuple[Row, ...]:
    """What was written in the signs of the sheet; above it what sounded, where the page has no letters."""
    empty = {slot.index for slot in detail.slots if LEFT_EMPTY in slot.verdicts}
    wrong = {slot.index for slot in detail.slots if slot.verdicts - TIMING}
    sounded = tuple(_mark(detail.page, index) for index in range(len(detail.page.places)))
    yours = tuple(
        Mark(index, EMPTY, wrong=True) if index in empty else _mark(written, index, index in wrong)
        for index in range(len(written.places))
    )
    mine = Row(row_written(), yours)
    return (mine,) if "letters" in layers else (Row(row_sounded(), sounded), mine)


def _mark(pattern: Pattern, index: int, wrong: bool = False) -> Mark:
    slot = pattern.places[index].slot
    if slot.action != "strike":
        return Mark(index, RINGS if slot.action == "ring" else SILENT, wrong=wrong)
    sign = "X" if slot.muted else "D" if slot.hand == "down" else "U"
    return Mark(index, sign, accent=slot.accent, wrong=wrong)
