"""Lay out a pattern as a display list. Pure: no font is opened and nothing is painted.

Units: staff spaces. Each line of the page is laid out around its own zero (the staff line, where the staff
is shown) and then set below the one before it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from drillapp.music import Pattern, check_layers, notes, syllables
from drillapp.notation import rows
from drillapp.notation.describe import describe
from drillapp.notation.display import BRACKET_DEPTH, DisplayList, Glyph, Item, Line, System, Text
from drillapp.notation.layout import BarPlan, LinePlan, bar_spaces, plan_bars, set_lines, slot_places
from drillapp.notation.marks import MARK_HEIGHT, has_mark, tempo_mark
from drillapp.notation.spacing import BarSpace
from drillapp.notation.staff_items import ACCENT_TOP, STAFF_BOTTOM, StaffLine, ending_width, opening_width

SYSTEM_GAP = 1.4
"""White between the lines of a page, beside the room kept for brackets."""
ENDINGS = ("final", "single", "repeat")
_ROW_GAP = 1.15
_NO_STAFF_PREFIX = 0.3


def engrave(
    pattern: Pattern,
    layers: Iterable[str],
    *,
    width: float | None = None,
    bars_per_line: int | None = None,
    names: str = "1 + 2 +",
    tempo: bool = False,
    ending: str = "final",
    blank_counts: bool = False,
    steady: bool = False,
) -> DisplayList:
    """The pattern's page as a display list in staff spaces.

    ``layers``: any of letters, arrows, counts, staff, bows. ``width``: fill lines of this width (in staff
    spaces), breaking at barlines where needed; else one line at its natural width. ``bars_per_line``: at
    most so many bars on a line. ``names``: the set of count syllables. ``tempo``: show the tempo mark.
    ``ending``: the last barline: final, single or repeat. ``blank_counts``: leave the counts to be filled in.
    ``steady``: keep room for accents whether there are any, so that pages of one question stand alike.
    Raises ValueError for no layer, or for an unknown layer, ending or set of syllables.
    """
    plan = Plan.of(pattern, layers, names, tempo, ending, blank_counts, steady)
    return plan.page(width, bars_per_line)


@dataclass(frozen=True)
class Plan:
    """A pattern ready to be set on pages of any width: its bars and what they need."""

    pattern: Pattern
    names: str
    bars: Sequence[BarPlan]
    spaces: Sequence[BarSpace]
    prefix: float
    ending_room: float
    rows: _Page

    @staticmethod
    def of(
        pattern: Pattern,
        layers: Iterable[str],
        names: str = "1 + 2 +",
        tempo: bool = False,
        ending: str = "final",
        blank_counts: bool = False,
        steady: bool = False,
        beneath: float = 0.0,
    ) -> Plan:
        """The plan of a pattern; parameters and errors are those of ``engrave``.

        ``beneath``: room to keep below each line, for rows under it.
        """
        shown = check_layers(layers)
        if ending not in ENDINGS:
            raise ValueError(f"{ending!r} is not an ending; choose from {', '.join(ENDINGS)}")
        said = syllables(pattern, names)
        staff = "staff" in shown
        bars = plan_bars(pattern, notes(pattern) if staff else ())
        spaces = bar_spaces(bars, rows.label_widths(pattern, shown, said))
        prefix = opening_width(pattern.meter, ending) if staff else _NO_STAFF_PREFIX
        room = ending_width(ending) if staff else 0.0
        page = _Page(pattern, shown, said, tempo, ending, blank_counts, steady, beneath)
        return Plan(pattern, names, bars, spaces, prefix, room, page)

    def lines(self, width: float | None = None, bars_per_line: int | None = None) -> list[LinePlan]:
        """The columns set on lines; parameters and errors are those of ``engrave``."""
        if (width is not None and width <= 0) or (bars_per_line is not None and bars_per_line < 1):
            raise ValueError("width and bars_per_line are positive, or None")
        return set_lines(self.bars, self.spaces, self.prefix, self.ending_room, width, bars_per_line)

    def page(self, width: float | None = None, bars_per_line: int | None = None) -> DisplayList:
        """The page; parameters and errors are those of ``engrave``."""
        return self.page_of(self.lines(width, bars_per_line))

    def page_of(self, lines: Sequence[LinePlan], width: float = 0.0) -> DisplayList:
        """The page of lines that are set already; at least ``width`` wide."""
        systems = [self.rows.system(line, line is lines[-1]) for line in lines]
        items, placed, height = _stack(systems, self.rows.beneath)
        return DisplayList(
            items,
            max(width, *(line.end for line in lines)),
            height,
            slot_places(lines),
            placed,
            self.rows.shown,
            self.pattern.text,
            describe(self.pattern, self.names),
        )


@dataclass
class _System:
    bars: tuple[int, int]
    items: list[Item]
    extents: dict[str, tuple[float, float]]
    bottom: float
    top: float


@dataclass(frozen=True)
class _Page:
    """Puts the layers of one line above one another."""

    pattern: Pattern
    shown: tuple[str, ...]
    said: Sequence[str]
    tempo: bool
    ending: str
    blank_counts: bool
    steady: bool
    beneath: float

    def system(self, line: LinePlan, is_last: bool) -> _System:
        items: list[Item] = []
        extents: dict[str, tuple[float, float]] = {}
        staff = "staff" in self.shown
        top = bottom = 0.0
        if staff:
            built = StaffLine(self.pattern, line, is_last, self.ending)
            items += built.items
            top, bottom = max(built.top, ACCENT_TOP if self.steady else 0.0), STAFF_BOTTOM
            extents["staff"] = (bottom, top)
        if "bows" in self.shown:
            y = top + (0.45 if staff else 0.0)
            items += rows.bows(line, y)
            top = y + rows.BOW_HEIGHT
            extents["bows"] = (y, top)
        if staff and line.number == 0 and has_mark(self.pattern, self.tempo):
            items += tempo_mark(self.pattern, top + 0.9, self.tempo)
            top += 0.9 + MARK_HEIGHT - 0.6
        bottom = self._rows_below(line, bottom, items, extents)
        if not staff:
            top = self._accents_above(line, top, items)
        return _System((line.bars[0].number, line.bars[-1].number + 1), items, extents, bottom, top)

    def _rows_below(
        self, line: LinePlan, bottom: float, items: list[Item], extents: dict[str, tuple[float, float]]
    ) -> float:
        staff = "staff" in self.shown
        first = not staff and "bows" not in self.shown
        ruled: list[str] = [layer for layer in ("arrows", "letters", "counts") if layer in self.shown]
        if not staff and "bows" in self.shown:
            ruled = ["bows", *ruled]
        for layer, height in (("arrows", rows.ARROW_HEIGHT), ("letters", rows.letter_height())):
            if layer in self.shown:
                high = bottom - (0.0 if first else _ROW_GAP if bottom != STAFF_BOTTOM else 0.55)
                low = high - height
                items += (
                    rows.arrows(line, low) if layer == "arrows" else rows.letters(self.pattern, line, low)
                )
                extents[layer] = (low, high)
                bottom, first = low, False
        if ruled:
            y = bottom - (0.1 if first else _ROW_GAP)
            owner = "counts" if "counts" in self.shown else ruled[-1]
            items += rows.ruler(line, y, owner)
            bottom = y - rows.BEAT_TICK
            if "counts" in self.shown:
                bottom = y - rows.RULER_TO_COUNTS - rows.count_height()
                if not self.blank_counts:
                    items += rows.counts(line, bottom, self.said)
                extents["counts"] = (bottom, y)
            if not staff:
                high = self._rows_top(extents, y)
                items += rows.row_barlines(line, y if high > y else bottom, high, owner)
        return bottom

    def _rows_top(self, extents: dict[str, tuple[float, float]], y: float) -> float:
        return max([y, *(high for _, high in extents.values())])

    def _accents_above(self, line: LinePlan, top: float, items: list[Item]) -> float:
        layer = next((layer for layer in ("arrows", "letters") if layer in self.shown), None)
        accented = any(place.slot.accent for bar in line.bars for place in bar.places)
        if layer is None or not (accented or self.steady):
            return top
        items += rows.accents(line, top + 0.4, layer)
        return top + 0.4 + 0.98


def _stack(systems: Sequence[_System], beneath: float) -> tuple[tuple[Item, ...], tuple[System, ...], float]:
    """Set the systems below one another, from the top of the page down to zero."""
    height = sum(s.top - s.bottom + BRACKET_DEPTH + beneath for s in systems)
    height += SYSTEM_GAP * (len(systems) - 1)
    items: list[Item] = []
    placed: list[System] = []
    ceiling = height
    for system in systems:
        zero = ceiling - system.top
        items += [shifted(item, zero) for item in system.items]
        ranges = {layer: (low + zero, high + zero) for layer, (low, high) in system.extents.items()}
        floor = zero + system.bottom - BRACKET_DEPTH
        placed.append(System(system.bars, floor, ceiling, ranges))
        ceiling = floor - beneath - SYSTEM_GAP
    return tuple(items), tuple(placed), height


def shifted(item: Item, up: float) -> Item:
    """The item moved up by so many spaces."""
    if isinstance(item, Glyph):  # spelled out, since copies by ``replace`` take a third of the time of a page
        return Glyph(item.name, item.x, item.y + up, item.slot, item.layer, item.role, item.scale)
    if isinstance(item, Line):
        ends = item.x1, item.y1 + up, item.x2, item.y2 + up
        return Line(*ends, item.thickness, item.slot, item.layer, item.role)
    if isinstance(item, Text):
        set_at = item.text, item.x, item.y + up, item.size, item.face, item.align
        return Text(*set_at, item.slot, item.layer, item.role)
    return replace(item, y=item.y + up)
