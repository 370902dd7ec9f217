"""Charts of reports as display lists: ranges, weeks, lengths. Readable without colour.

Units: staff spaces; shares from 0 to 1. As on screen, shape tells: a thick bar where weak, a hollow one where
too little is known, a dash where nothing was read.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from drillapp.desk.student import Week
from drillapp.desk.told import NOT_READ, UNSURE, WEAK
from drillapp.notation.display import Beam, DisplayList, Item, Line

_LEAST, _GAP = 0.9, 0.24


def range_bar(state: int, low: float, middle: float, high: float, wide: float = 30.0) -> DisplayList:
    """A range on a line from none to all, with a tick at the estimate; ``state`` as in ``desk.told``."""
    height, centre = 2.2, 1.1
    if state == NOT_READ:
        dash = Line(wide / 2 - 0.7, centre, wide / 2 + 0.7, centre, 0.22, role="second")
        return DisplayList((dash,), wide, height, (), (), ())
    left, right, tick = wide * low, wide * high, wide * middle
    if right - left < _LEAST:
        left = min(max(0.0, (left + right - _LEAST) / 2), wide - _LEAST)
        right = left + _LEAST
    items: list[Item] = [
        Line(0.0, centre, left, centre, 0.1, role="second"),
        Line(right, centre, wide, centre, 0.1, role="second"),
    ]
    if state == UNSURE:
        items += [Line(left, y, right, y, 0.14, role="second") for y in (centre - 0.45, centre + 0.45)]
        items += [Line(x, centre - 0.52, x, centre + 0.52, 0.14, role="second") for x in (left, right)]
        return DisplayList(tuple(items), wide, height, (), (), ())
    thick, role = (1.6, "mark") if state == WEAK else (0.8, "second")
    # The bar leaves a gap round the tick, so that it stands out on any ground.
    for start, end in ((left, tick - _GAP), (tick + _GAP, right)):
        if end > start:
            items.append(Beam(start, end, centre + thick / 2, thick, layer="", role=role))
    items.append(Line(tick, 0.05, tick, height - 0.05, 0.22))
    return DisplayList(tuple(items), wide, height, (), (), ())


def week_chart(weeks: Sequence[Week], shown: Sequence[date], wide: float = 36.0) -> DisplayList:
    """A sign over weeks: an upright range for each, with a tick at the estimate; the lines are none and all.

    ``shown``: the Mondays of the columns, from left to right.
    """
    height = 3.6
    items: list[Item] = [Line(0.0, y, wide, y, 0.06, role="rule") for y in (0.1, height / 2, height - 0.1)]
    step, span = wide / max(1, len(shown)), height - 0.2
    for week in weeks:
        if week.monday not in shown or not week.share.count:
            continue
        x = (shown.index(week.monday) + 0.5) * step
        low, middle, high = (0.1 + span * one for one in (week.share.low, week.share.middle, week.share.high))
        for start, end in ((low, middle - _GAP), (middle + _GAP, high)):
            if end > start:
                items.append(Line(x, start, x, end, 0.5, role="second"))
        items.append(Line(x - 0.55, middle, x + 0.55, middle, 0.26))
    return DisplayList(tuple(items), wide, height, (), (), ())


def length_bar(share: float, wide: float = 40.0) -> DisplayList:
    """A length against the longest, from a common left end."""
    items: tuple[Item, ...] = (Line(0.05, 0.0, 0.05, 2.0, 0.1, role="second"),)
    if share > 0:
        items = (*items, Beam(0.1, max(0.2, wide * share), 1.6, 1.2, layer="", role="second"))
    return DisplayList(items, wide, 2.0, (), (), ())
