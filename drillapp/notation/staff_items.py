"""The items of the rhythm staff on one line of the page.

Units: staff spaces; y from the staff line, x from the page's left edge. See ``staff`` for the rules.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from drillapp.music import Meter, Note, Pattern, Tuplet
from drillapp.notation.display import Beam, Curve, Glyph, Item, Line, Text
from drillapp.notation.layout import BarPlan, LinePlan
from drillapp.notation.smufl import default, metrics
from drillapp.notation.staff import (
    ACCENT_GAP,
    BARLINE_REACH,
    DOT_Y,
    HEAD_GAP,
    STEM_TOP,
    TIE_Y,
    beam_lines,
    flag_name,
    head_name,
    stem_offset,
    stem_top,
    tuplets,
)

STAFF_BOTTOM = -2.75
"""Lowest y that the staff's signs reach (ties), kept free whether there is a tie or not."""
ACCENT_TOP = STEM_TOP + ACCENT_GAP + 0.98
"""Top of an accent sign (Bravura draws it 0.98 high)."""
_STUB = 1.15
_TUPLET_GAP = 0.4
_TUPLET_SCALE = 0.9
_PLUS_SCALE = 0.55
_SIGNATURE_START = 0.7
_REPEAT_GAP = 0.8
_BAR_NUMBER = 1.35
"""Size of bar numbers."""


def opening_width(meter: Meter, ending: str) -> float:
    """Room for the time signature, and the opening barline of a repeat, from the line's start."""
    width = _SIGNATURE_START + max(_row_width(row) for row in _signature_rows(meter))
    return width + (_REPEAT_GAP + ending_width(ending) if ending == "repeat" else 0.0)


def _signature_rows(meter: Meter) -> tuple[list[tuple[str, float]], list[tuple[str, float]]]:
    upper: list[tuple[str, float]] = []
    for number, group in enumerate(meter.groups):
        if number:
            upper.append(("timeSigPlus", _PLUS_SCALE))
        upper += [(f"timeSig{digit}", 1.0) for digit in str(group)]
    return upper, [(f"timeSig{digit}", 1.0) for digit in str(meter.denominator)]


def _row_width(row: list[tuple[str, float]]) -> float:
    return sum(metrics(name).advance * scale + (0.3 if scale != 1 else 0.0) for name, scale in row)


def time_signature(meter: Meter) -> Iterator[Glyph]:
    """Numerator over denominator, each centred, on either side of the line."""
    rows = _signature_rows(meter)
    whole = max(map(_row_width, rows))
    for row, y in zip(rows, (1.0, -1.0), strict=True):
        x = _SIGNATURE_START + (whole - _row_width(row)) / 2
        for name, scale in row:
            air = 0.15 if scale != 1 else 0.0
            yield Glyph(name, x + air, y, None, "staff", "ink", scale)
            x += metrics(name).advance * scale + 2 * air


class StaffLine:
    """Builds the staff's items for one line; ``top`` is the highest y that they reach."""

    def __init__(self, pattern: Pattern, line: LinePlan, is_last: bool, ending: str) -> None:
        self.pattern = pattern
        self.line = line
        self.is_last = is_last
        self.ending = ending
        self.slot_of: dict[int, int] = {}
        for bar in line.bars:
            self.slot_of.update(bar.slots)
        self.top = BARLINE_REACH
        self.stem_top = stem_top(note for bar in line.bars for note in bar.notes)
        self.items: list[Item] = []
        self._build()

    def _build(self) -> None:
        line = self.line
        self.items.append(Line(line.start, 0.0, line.end, 0.0, default("staffLineThickness"), None, "staff"))
        if line.number == 0:
            self.items += time_signature(self.pattern.meter)
        else:
            self._bar_number(line.bars[0].number + 1)
        for bar, right in zip(line.bars, line.edges[1:], strict=True):
            if bar.silent:
                self._whole_bar_rest(bar, line.xs[bar.places[0].index], right)
            else:
                for note in bar.notes:
                    self._note(bar, note)
                self._beams(bar)
                self._tuplets(bar)
        self._ties()
        self._barlines()

    def _bar_number(self, number: int) -> None:
        """At the start of every line but the first (common practice)."""
        y = BARLINE_REACH + 0.5
        self.items.append(Text(str(number), 0.0, y, _BAR_NUMBER, "regular", "left", None, "staff", "second"))
        self.top = max(self.top, y + _BAR_NUMBER)

    def _x(self, note: Note) -> float:
        return self.line.xs[self.slot_of[id(note)]]

    def _stem_x(self, note: Note) -> float:
        return self._x(note) + stem_offset(note)[0]

    def _whole_bar_rest(self, bar: BarPlan, first: float, right: float) -> None:
        rest = metrics("restWhole")
        # Centred in the bar: the white before the first column counts as that before the barline.
        x = (first - rest.width / 2 + right - 0.9) / 2 if len(bar.places) > 1 else first
        self.items.append(Glyph("restWhole", x - rest.middle, 0.0, bar.places[0].index, "staff"))

    def _note(self, bar: BarPlan, note: Note) -> None:
        slot = self.slot_of[id(note)]
        name = head_name(note)
        head = metrics(name)
        x = self.line.xs[slot]
        self.items.append(Glyph(name, x - head.middle, 0.0, slot, "staff"))
        for dot in range(note.dots):
            dot_x = x + head.width / 2 + HEAD_GAP + dot * 0.6
            self.items.append(Glyph("augmentationDot", dot_x, DOT_Y, slot, "staff"))
        if note.stroke is None:
            return
        if note.value.numerator < 4:
            self.top = max(self.top, self.stem_top)
            stem_x, stem_bottom = x + stem_offset(note)[0], stem_offset(note)[1]
            end, thickness = self.stem_top, default("stemThickness")
            if bar.is_flagged(note):
                flag = metrics(flag_name(note))
                self.items.append(Glyph(flag.name, stem_x - thickness / 2, self.stem_top, slot, "staff"))
                end += flag.anchors["stemUpNW"][1]
                self.top = max(self.top, self.stem_top + flag.box[3])
            self.items.append(Line(stem_x, stem_bottom, stem_x, end, thickness, slot, "staff"))
        if note.stroke.accent and not note.tied_from:
            accent = metrics("articAccentAbove")
            self.items.append(
                Glyph(accent.name, x - accent.middle, self.stem_top + ACCENT_GAP, slot, "staff")
            )
            self.top = max(self.top, self.stem_top + ACCENT_GAP + accent.box[3])

    def _beams(self, bar: BarPlan) -> None:
        half, thickness = default("stemThickness") / 2, default("beamThickness")
        pitch = thickness + default("beamSpacing")
        meter = self.pattern.meter
        for group in bar.groups:
            start = max(bar.begin + s for s in meter.starts if bar.begin + s <= group[0].at)
            stems = [self._stem_x(note) for note in group if note.stroke is not None]
            shortest = min(b - a for a, b in pairwise(stems))
            for beam in beam_lines(group, start):
                x1, x2 = self._stem_x(beam.first), self._stem_x(beam.last)
                if beam.stub:
                    x1, x2 = sorted((x1, x1 + beam.stub * min(_STUB, shortest * 0.5)))
                y = self.stem_top - beam.level * pitch
                self.items.append(Beam(x1 - half, x2 + half, y, thickness, self.slot_of[id(beam.first)]))

    def _tuplets(self, bar: BarPlan) -> None:
        for tuplet, members in tuplets(bar.notes):
            accents = any(n.stroke is not None and n.stroke.accent and not n.tied_from for n in members)
            y = self.stem_top + _TUPLET_GAP
            if accents:
                y += metrics("articAccentAbove").box[3] + 0.3
            beamed = any(group[0] is members[0] and group[-1] is members[-1] for group in bar.groups)
            self._tuplet(tuplet, members, y, beamed)

    def _tuplet(self, tuplet: Tuplet, members: list[Note], y: float, beamed: bool) -> None:
        slot = self.slot_of[id(members[0])]
        digits = [metrics(f"tuplet{digit}") for digit in str(tuplet.actual)]
        width = sum(digit.advance for digit in digits) * _TUPLET_SCALE
        first, last = self._x(members[0]), self._x(members[-1])
        left = first - metrics(head_name(members[0])).width / 2
        right = last + metrics(head_name(members[-1])).width / 2
        if beamed:
            left, right = self._stem_x(members[0]), self._stem_x(members[-1])
        middle = (left + right) / 2
        x = middle - width / 2
        for digit in digits:
            self.items.append(Glyph(digit.name, x, y, slot, "staff", "ink", _TUPLET_SCALE))
            x += digit.advance * _TUPLET_SCALE
        self.top = max(self.top, y + 1.5 * _TUPLET_SCALE)
        if not beamed:
            self._bracket(left, right, middle, width, y + 0.65, slot)

    def _bracket(self, left: float, right: float, middle: float, width: float, y: float, slot: int) -> None:
        thickness, hook = default("tupletBracketThickness"), 0.75
        for x1, x2, end in (
            (left, middle - width / 2 - 0.3, left),
            (middle + width / 2 + 0.3, right, right),
        ):
            self.items.append(Line(x1, y, x2, y, thickness, slot, "staff"))
            inner = end + thickness / 2 if end == left else end - thickness / 2
            self.items.append(Line(inner, y - hook, inner, y, thickness, slot, "staff"))

    def _ties(self) -> None:
        flat = [note for bar in self.line.bars for note in bar.notes]
        for number, note in enumerate(flat):
            if note.tied_from and number == 0:
                x = self._x(note)
                self._tie(max(self.line.edges[0] + 0.3, x - 3.2), x - 0.15, note)
            if note.tied_to:
                right = self._x(flat[number + 1]) - 0.15 if number + 1 < len(flat) else self.line.end - 0.35
                self._tie(self._x(note) + 0.15, right, note)

    def _tie(self, x1: float, x2: float, note: Note) -> None:
        depth = min(1.15, 0.45 + 0.07 * (x2 - x1))
        ends, middle = default("tieEndpointThickness"), default("tieMidpointThickness")
        self.items.append(Curve(x1, x2, TIE_Y, depth, ends, middle, self.slot_of[id(note)]))

    def _barlines(self) -> None:
        thin = default("thinBarlineThickness")
        for x in self.line.edges[1:-1]:
            self.items.append(_barline(x, thin))
        if self.ending == "repeat" and self.line.number == 0:
            self._double(opening_width(self.pattern.meter, "repeat") - ending_width("repeat"), 1)
        if not self.is_last or self.ending == "single":
            self.items.append(_barline(self.line.end - thin / 2, thin))
        else:
            self._double(self.line.end, -1)

    def _double(self, outer: float, inward: int) -> None:
        """A thick and a thin barline, with the dots of a repeat where there is one, from ``outer`` inward."""
        thin, thick = default("thinBarlineThickness"), default("thickBarlineThickness")
        self.items.append(_barline(outer + inward * thick / 2, thick))
        x = outer + inward * (thick + default("barlineSeparation") + thin / 2)
        self.items.append(_barline(x, thin))
        if self.ending == "repeat":
            x += inward * (thin / 2 + default("repeatBarlineDotSeparation"))
            dot = metrics("augmentationDot").width
            for y in (0.5, -0.5):
                self.items.append(Glyph("augmentationDot", x if inward > 0 else x - dot, y, None, "staff"))


def ending_width(ending: str) -> float:
    """Room that the last barline takes."""
    thin, thick = default("thinBarlineThickness"), default("thickBarlineThickness")
    if ending == "single":
        return thin
    width = thin + default("barlineSeparation") + thick
    if ending == "repeat":
        width += default("repeatBarlineDotSeparation") + metrics("augmentationDot").width
    return width


def _barline(x: float, thickness: float) -> Line:
    return Line(x, -BARLINE_REACH, x, BARLINE_REACH, thickness, None, "staff")
