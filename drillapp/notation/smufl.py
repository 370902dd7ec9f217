"""The music glyphs that the engraver uses, by their canonical SMuFL names.

Units: staff spaces (a quarter of the font's em); x to the right, y up, from the glyph's origin.
Source of names and code points: Standard Music Font Layout (SMuFL) 1.4, W3C Music Notation Community
Group, ``metadata/glyphnames.json``. Advances, boxes, anchors and engraving defaults are those of Bravura's
own metadata file (SMuFL's font metadata format), cut down by ``make_outlines.py`` to the names below.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from drillapp.notation.outlines import load_table

CODE_POINTS: dict[str, int] = {
    "barlineSingle": 0xE030,
    "barlineFinal": 0xE032,
    "repeatDots": 0xE043,
    **{f"timeSig{digit}": 0xE080 + digit for digit in range(10)},
    "timeSigPlus": 0xE08C,
    "noteheadXDoubleWhole": 0xE0A6,
    "noteheadXWhole": 0xE0A7,
    "noteheadXHalf": 0xE0A8,
    "noteheadXBlack": 0xE0A9,
    "noteheadBlack": 0xE0A4,
    "noteheadSlashHorizontalEnds": 0xE101,
    "noteheadSlashWhiteWhole": 0xE102,
    "noteheadSlashWhiteHalf": 0xE103,
    "noteheadSlashX": 0xE106,
    "noteheadSlashWhiteDoubleWhole": 0xE10A,
    "augmentationDot": 0xE1E7,
    "flag8thUp": 0xE240,
    "flag16thUp": 0xE242,
    "flag32ndUp": 0xE244,
    "flag64thUp": 0xE246,
    "articAccentAbove": 0xE4A0,
    "restDoubleWhole": 0xE4E2,
    "restWhole": 0xE4E3,
    "restHalf": 0xE4E4,
    "restQuarter": 0xE4E5,
    "rest8th": 0xE4E6,
    "rest16th": 0xE4E7,
    "rest32nd": 0xE4E8,
    "rest64th": 0xE4E9,
    "stringsDownBow": 0xE610,
    "stringsUpBow": 0xE612,
    **{f"tuplet{digit}": 0xE880 + digit for digit in range(10)},
    "tupletColon": 0xE88A,
    "arrowBlackUp": 0xEB60,
    "arrowBlackDown": 0xEB64,
    "metNoteWhole": 0xECA2,
    "metNoteHalfUp": 0xECA3,
    "metNoteQuarterUp": 0xECA5,
    "metNote8thUp": 0xECA7,
    "metNote16thUp": 0xECA9,
    "metAugmentationDot": 0xECB7,
}


@dataclass(frozen=True)
class GlyphMetrics:
    """A glyph's measures in staff spaces: advance width, box (left, bottom, right, top) and anchors."""

    name: str
    code: int
    advance: float
    box: tuple[float, float, float, float]
    anchors: dict[str, tuple[float, float]]

    @property
    def width(self) -> float:
        return self.box[2] - self.box[0]

    @property
    def middle(self) -> float:
        """x of the box's middle."""
        return (self.box[0] + self.box[2]) / 2


@cache
def metrics(name: str) -> GlyphMetrics:
    """Measures of the glyph with this canonical name; KeyError names a glyph that is not in the table."""
    try:
        row = load_table("music")["glyphs"][name]
    except KeyError:
        raise KeyError(f"no glyph {name!r} in the outline table; known: {', '.join(CODE_POINTS)}") from None
    left, bottom, right, top = row["box"]
    return GlyphMetrics(
        name,
        row["code"],
        row["advance"],
        (left, bottom, right, top),
        {key: tuple(at) for key, at in row["anchors"].items()},
    )


@cache
def default(name: str) -> float:
    """One of the font's SMuFL engraving defaults in staff spaces, such as ``default("beamThickness")``."""
    return float(load_table("music")["defaults"][name])
