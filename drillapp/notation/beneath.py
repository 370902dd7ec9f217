"""Rows beneath a page's systems: what was played or written, under the slots that it was read from.

Units: staff spaces. A row stands under every system of the page, on the page's own columns, so that what
happens together stands together. A mark stands at a slot, or between two by its ``share``: 0.25 is a quarter
of the way to the next slot, -0.25 to the one before.

Signs: a stroke is an arrow or its letter; where the chord rings on there is a dash, where the strings are
silent a rest, where nothing was written an open box.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from drillapp.notation.display import DisplayList, Glyph, Item, Line, SlotPlace, Text
from drillapp.notation.outlines import cap_height
from drillapp.notation.rows import ARROW_HEIGHT, DASH
from drillapp.notation.smufl import metrics

DOWN, UP = "down", "up"
RINGS, SILENT, EMPTY = "rings", "silent", "empty"
LABEL_SIZE, LETTER_SIZE = 1.45, 2.1
_SCALE, _MUTED_SCALE, _CROSS = 1.0, 0.66, 0.42
_ARROWS = ARROW_HEIGHT / 1.25  # at the scale of 1 that they have here
_LABEL_GAP, _TICK, _GAP = 0.7, 0.5, 0.8
_REST = "rest8th"


@dataclass(frozen=True)
class Mark:
    """One sign of a row: DOWN and UP are arrows, RINGS, SILENT and EMPTY their signs, all else letters.

    ``wrong``: it is painted as a place pointed at; ``accent``: with an accent above it.
    """

    slot: int
    sign: str
    share: float = 0.0
    muted: bool = False
    accent: bool = False
    wrong: bool = False


@dataclass(frozen=True)
class Row:
    """A row with what it is called; ``timed``: on a ruler with a tick for each slot, for early and late."""

    label: str
    marks: tuple[Mark, ...]
    timed: bool = False


def room(rows: Sequence[Row]) -> float:
    """How much room the rows need beneath each system: the ``beneath`` of ``Plan.of``."""
    return sum(_height(row) for row in rows)


def beneath(page: DisplayList, rows: Sequence[Row]) -> tuple[Item, ...]:
    """The rows under each system of a page that keeps ``room`` for them."""
    items: list[Item] = []
    for number, system in enumerate(page.systems):
        top = system.bottom
        for row in rows:
            items += _row(page, number, row, top)
            top -= _height(row)
    return tuple(items)


def mark_items(page: DisplayList, row: Row, mark: Mark) -> tuple[Item, ...]:
    """One more mark in the first of the rows."""
    floor = page.systems[page.slots[mark.slot].system].bottom - _height(row)
    return tuple(_signs(mark, _x(page.slots, mark), floor + (_TICK if row.timed else 0.0), row.timed))


def _height(row: Row) -> float:
    accents = 0.9 if any(mark.accent for mark in row.marks) else 0.0
    return _GAP + _label_height(row) + accents + (_ARROWS + _TICK if row.timed else _letter_height())


def _label_height(row: Row) -> float:
    return cap_height("regular") * LABEL_SIZE + _LABEL_GAP if row.label else 0.0


def _letter_height() -> float:
    return cap_height("semibold") * LETTER_SIZE


def _row(page: DisplayList, system: int, row: Row, top: float) -> Iterator[Item]:
    floor = top - _height(row)
    here = [index for index, slot in enumerate(page.slots) if slot.system == system]
    if row.label:
        y = top - _GAP - cap_height("regular") * LABEL_SIZE
        yield Text(row.label, 0.0, y, LABEL_SIZE, "regular", "left", None, "", "second")
    base = floor + (_TICK if row.timed else 0.0)
    if row.timed:
        yield Line(page.slots[here[0]].left, base, page.slots[here[-1]].right, base, 0.1, None, "", "second")
        for index in here:
            x = page.slots[index].x
            yield Line(x, base - _TICK, x, base, 0.12, index, "", "second")
    for mark in row.marks:
        if page.slots[mark.slot].system == system:
            yield from _signs(mark, _x(page.slots, mark), base, row.timed)


def _x(slots: Sequence[SlotPlace], mark: Mark) -> float:
    """Where a mark stands, by its share of the way to the next slot or the one before on its line."""
    here = slots[mark.slot]
    step = 1 if mark.share >= 0 else -1
    beside = mark.slot + step
    if 0 <= beside < len(slots) and slots[beside].system == here.system:
        way = abs(slots[beside].x - here.x)
    else:  # the end of a line: as wide as its column
        way = 2 * (here.right - here.x if step > 0 else here.x - here.left)
    return here.x + mark.share * way


def _signs(mark: Mark, x: float, base: float, timed: bool) -> Iterator[Item]:
    role = "mark" if mark.wrong else "ink"
    slot = mark.slot if not mark.share else None  # what stands between slots is not moved with one
    high = base + (_ARROWS if timed else _letter_height())
    if mark.sign in (DOWN, UP):
        yield from _arrow(mark, x, base, slot, role)
        yield Line(x, base - _TICK, x, base, 0.2, slot, "", role)
    elif mark.sign == SILENT:
        rest = metrics(_REST)
        low, top = rest.box[1], rest.box[3]
        y = base + (_letter_height() - (top - low)) / 2 - low
        yield Glyph(_REST, x - (rest.box[0] + rest.box[2]) / 2, y, slot, "", role)
    elif mark.sign == EMPTY:
        yield from _box(x, base, slot, role)
    else:
        text = DASH if mark.sign == RINGS else mark.sign
        yield Text(text, x, base, LETTER_SIZE, "semibold", "middle", slot, "", role)
    if mark.accent:
        sign = metrics("articAccentAbove")
        yield Glyph(sign.name, x - sign.middle, high + 0.25 - sign.box[1], slot, "", role)


def _arrow(mark: Mark, x: float, base: float, slot: int | None, role: str) -> Iterator[Glyph]:
    down = mark.sign == DOWN
    arrow, cross = metrics("arrowBlackDown" if down else "arrowBlackUp"), metrics("noteheadSlashX")
    scale, low = _SCALE, base
    if mark.muted:  # a shorter arrow with a cross at its tail, as in the row of arrows
        scale, reach = _MUTED_SCALE, cross.box[3] * _CROSS
        middle = base + _ARROWS - reach if down else base + reach
        low = base if down else base + _ARROWS - arrow.box[3] * scale
        yield Glyph(cross.name, x - cross.middle * _CROSS, middle, slot, "", role, _CROSS)
    yield Glyph(arrow.name, x - arrow.middle * scale, low, slot, "", role, scale)


def _box(x: float, base: float, slot: int | None, role: str) -> Iterator[Line]:
    half, high = 0.6, _letter_height()
    yield Line(x - half, base, x + half, base, 0.16, slot, "", role)
    yield Line(x - half, base + high, x + half, base + high, 0.16, slot, "", role)
    yield Line(x - half, base, x - half, base + high, 0.16, slot, "", role)
    yield Line(x + half, base, x + half, base + high, 0.16, slot, "", role)
