"""Tempo and swing marks, set above the start of the first line.

Units: staff spaces. The swing mark says how two written eighths are played: as the long and short of a
triplet for 2:1, as dotted eighth and sixteenth for 3:1 (common practice), else with the ratio in words.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from drillapp.music import Pattern, swung
from drillapp.notation.display import Beam, Glyph, Item, Line, Text
from drillapp.notation.outlines import text_width
from drillapp.notation.smufl import default, metrics

MARK_SIZE = 1.7
_NOTE_SCALE = 0.72
_UNITS = {
    Fraction(4): ("metNoteWhole", 0),
    Fraction(2): ("metNoteHalfUp", 0),
    Fraction(3): ("metNoteHalfUp", 1),
    Fraction(1): ("metNoteQuarterUp", 0),
    Fraction(3, 2): ("metNoteQuarterUp", 1),
    Fraction(1, 2): ("metNote8thUp", 0),
    Fraction(3, 4): ("metNote8thUp", 1),
    Fraction(1, 4): ("metNote16thUp", 0),
    Fraction(3, 8): ("metNote16thUp", 1),
}


class _Row:
    """Items set one after another from the left."""

    def __init__(self, x: float, y: float) -> None:
        self.x, self.y = x, y
        self.items: list[Item] = []

    def glyph(self, name: str, scale: float = _NOTE_SCALE, rise: float = 0.0, after: float = 0.2) -> None:
        self.items.append(Glyph(name, self.x, self.y + rise, None, "staff", "ink", scale))
        self.x += metrics(name).box[2] * scale + after

    def text(self, text: str, face: str = "regular", after: float = 0.3) -> None:
        self.items.append(Text(text, self.x, self.y, MARK_SIZE, face, "left", None, "staff"))
        self.x += text_width(text, face, MARK_SIZE) + after

    def note(self, unit: Fraction) -> None:
        name, dots = _UNITS[unit]
        self.glyph(name)
        for _ in range(dots):
            self.glyph("metAugmentationDot")
        self.x += 0.25

    def pair(self, heads: tuple[float, float], stem: float = 2.35, sixteenth_stub: bool = False) -> None:
        """Two small notes under a beam, with a stub of a second beam or a dot where asked."""
        scale = _NOTE_SCALE
        head = metrics("noteheadBlack")
        stem_x, stem_y = (part * scale for part in head.anchors["stemUpSE"])
        thin, beam = default("stemThickness"), default("beamThickness") * scale
        left = self.x
        for offset in heads:
            x = left + offset
            self.items.append(Glyph(head.name, x, self.y, None, "staff", "ink", scale))
            line_x = x + stem_x - thin / 2
            self.items.append(Line(line_x, self.y + stem_y, line_x, self.y + stem, thin, None, "staff"))
        first, last = left + heads[0] + stem_x - thin, left + heads[1] + stem_x
        self.items.append(Beam(first, last, self.y + stem, beam))
        if sixteenth_stub:
            self.items.append(
                Glyph(
                    "augmentationDot",
                    left + heads[0] + stem_x + 0.2,
                    self.y + 0.35,
                    None,
                    "staff",
                    "ink",
                    scale,
                )
            )
            self.items.append(Beam(last - 0.75, last, self.y + stem - beam - 0.2, beam))
        self.x = last + 0.3


MARK_HEIGHT = 3.6


def tempo_mark(pattern: Pattern, y: float, with_tempo: bool) -> Iterator[Item]:
    """Marks over the first note, baseline at ``y``: the tempo if asked for, swing if it swings."""
    row = _Row(0.0, y)
    if with_tempo:
        row.note(pattern.meter.unit)
        row.text(f"= {_number(pattern.tempo)}", after=1.6)
    if swung(pattern) and pattern.swing is not None:
        _swing(row, pattern.swing)
    yield from row.items


def tempo_items(pattern: Pattern, x: float = 0.0, y: float = 0.0) -> tuple[Item, ...]:
    """The tempo mark alone, from ``x``, baseline at ``y``."""
    row = _Row(x, y)
    row.note(pattern.meter.unit)
    row.text(f"= {_number(pattern.tempo)}", after=0.0)
    return tuple(row.items)


def has_mark(pattern: Pattern, with_tempo: bool) -> bool:
    return with_tempo or swung(pattern)


def _swing(row: _Row, swing: Fraction) -> None:
    row.text("Swing", "semibold", after=0.7)
    row.pair((0.0, 1.9))
    row.text("=", after=0.4)
    if swing == 3:
        row.pair((0.0, 2.3), sixteenth_stub=True)
    elif swing == 2:
        _triplet(row)
    else:
        row.text(f"{swing.numerator}:{swing.denominator}", "semibold")


def _triplet(row: _Row) -> None:
    """A quarter and an eighth under a triplet bracket."""
    left = row.x
    row.glyph("metNoteQuarterUp", after=0.55)
    right = row.x + metrics("metNoteQuarterUp").box[2] * _NOTE_SCALE
    row.glyph("metNote8thUp")
    digit, scale = metrics("tuplet3"), 0.62
    y, thickness = row.y + 2.75, 0.13
    middle = (left + right) / 2
    half = digit.advance * scale / 2
    row.items.append(Glyph(digit.name, middle - half, y - 0.42, None, "staff", "ink", scale))
    for x1, x2, end in ((left, middle - half - 0.15, left), (middle + half + 0.15, right, right)):
        row.items.append(Line(x1, y, x2, y, thickness, None, "staff"))
        inner = end + thickness / 2 if end == left else end - thickness / 2
        row.items.append(Line(inner, y - 0.4, inner, y, thickness, None, "staff"))


def _number(tempo: int | float | Fraction) -> str:
    value = float(tempo)
    return str(int(value)) if value == int(value) else f"{value:.1f}"
