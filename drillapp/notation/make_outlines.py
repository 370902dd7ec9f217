"""Make the outline tables in ``media/fonts`` from the fonts there.

``python -m drillapp.notation.make_outlines`` writes them.
Needed only when a font or the list of glyphs changes. Needs fontTools (in the test extra).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from drillapp.files.resources import shipped
from drillapp.notation.smufl import CODE_POINTS

_TEXT_RANGES = (
    (0x20, 0x7E),
    (0xA0, 0x17F),
    (0x370, 0x3FF),
    (0x400, 0x45F),
    (0x2010, 0x2027),
    (0x2030, 0x203A),
    (0x2190, 0x2193),
)
_KERNED = "".join(chr(code) for code in range(0x21, 0x7F)) + "–—‘’“”"
_ENGRAVING_DEFAULTS = (
    "arrowShaftThickness",
    "barlineSeparation",
    "beamSpacing",
    "beamThickness",
    "staffLineThickness",
    "stemThickness",
    "thickBarlineThickness",
    "thinBarlineThickness",
    "tieEndpointThickness",
    "tieMidpointThickness",
    "tupletBracketThickness",
    "repeatBarlineDotSeparation",
)


def main() -> None:
    """Write the three tables."""
    folder = shipped("media", "fonts")
    _write(folder / "outlines-music.json", _music_table(folder))
    _write(folder / "outlines-semibold.json", _text_table(folder / "Inter-SemiBold.otf"))
    _write(folder / "outlines-regular.json", _text_table(folder / "Inter-Regular.otf"))


def _write(path: Path, table: dict[str, Any]) -> None:
    path.write_text(json.dumps(table, ensure_ascii=False, separators=(",", ":")) + "\n", encoding="utf-8")
    print(f"{path.name}: {len(table['glyphs'])} glyphs, {path.stat().st_size} bytes")


def _music_table(folder: Path) -> dict[str, Any]:
    font = _open(folder / "Bravura.otf")
    shapes, names = font.getGlyphSet(), font.getBestCmap()
    metadata = json.loads((folder / "Bravura-metadata.json").read_text(encoding="utf-8"))
    glyphs = {}
    for name, code in sorted(CODE_POINTS.items(), key=lambda item: item[1]):
        box = metadata["glyphBBoxes"][name]
        glyphs[name] = {
            "code": code,
            "advance": metadata["glyphAdvanceWidths"][name],
            "box": [*box["bBoxSW"], *box["bBoxNE"]],
            "anchors": metadata["glyphsWithAnchors"].get(name, {}),
            "path": _path(shapes, names[code]),
        }
    return {
        "font": f"Bravura {metadata['fontVersion']}",
        "unitsPerEm": font["head"].unitsPerEm,
        "defaults": {name: metadata["engravingDefaults"][name] for name in _ENGRAVING_DEFAULTS},
        "glyphs": glyphs,
    }


def _text_table(path: Path) -> dict[str, Any]:
    font = _open(path)
    shapes, names = font.getGlyphSet(), font.getBestCmap()
    codes = [code for first, last in _TEXT_RANGES for code in range(first, last + 1) if code in names]
    return {
        "font": path.stem,
        "unitsPerEm": font["head"].unitsPerEm,
        "capHeight": font["OS/2"].sCapHeight,
        "glyphs": {chr(code): [shapes[names[code]].width, _path(shapes, names[code])] for code in codes},
        "kern": _kern_pairs(font, names),
    }


def _open(path: Path) -> Any:
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    return TTFont(path)


def _path(shapes: Any, name: str) -> str:
    from fontTools.pens.recordingPen import DecomposingRecordingPen  # type: ignore[import-untyped]

    pen = DecomposingRecordingPen(shapes)
    shapes[name].draw(pen)
    letters = {"moveTo": "M", "lineTo": "L", "curveTo": "C", "closePath": "Z", "endPath": "Z"}
    return " ".join(
        " ".join([letters[verb], *(f"{round(x)} {round(y)}" for x, y in points)])
        for verb, points in pen.value
    )


def _kern_pairs(font: Any, names: dict[int, str]) -> dict[str, int]:
    """Pair kerning from the font's GPOS table, for the characters that text is mostly made of."""
    table = font["GPOS"].table
    lookups = sorted(
        {
            i
            for f in table.FeatureList.FeatureRecord
            if f.FeatureTag == "kern"
            for i in f.Feature.LookupListIndex
        }
    )
    glyph_of = {names[ord(character)]: character for character in _KERNED if ord(character) in names}
    pairs: dict[str, int] = {}
    for index in lookups:
        found: dict[str, int] = {}
        for subtable in table.LookupList.Lookup[index].SubTable:
            subtable = getattr(subtable, "ExtSubTable", subtable)
            if subtable.LookupType == 2:
                for pair, value in _pairs_of(subtable, glyph_of).items():
                    found.setdefault(pair, value)
        for pair, value in found.items():
            pairs[pair] = pairs.get(pair, 0) + value
    return {pair: value for pair, value in sorted(pairs.items()) if value}


def _pairs_of(subtable: Any, glyph_of: dict[str, str]) -> dict[str, int]:
    covered = set(subtable.Coverage.glyphs)
    found: dict[str, int] = {}
    if subtable.Format == 1:
        for first, pair_set in zip(subtable.Coverage.glyphs, subtable.PairSet, strict=True):
            for record in pair_set.PairValueRecord if first in glyph_of else ():
                if record.SecondGlyph in glyph_of:
                    found[glyph_of[first] + glyph_of[record.SecondGlyph]] = getattr(
                        record.Value1, "XAdvance", 0
                    )
        return found
    for first, before in glyph_of.items():
        if first not in covered:
            continue
        row = subtable.Class1Record[subtable.ClassDef1.classDefs.get(first, 0)]
        for second, after in glyph_of.items():
            value = row.Class2Record[subtable.ClassDef2.classDefs.get(second, 0)].Value1
            found[before + after] = getattr(value, "XAdvance", 0) if value else 0
    return found


if __name__ == "__main__":
    main()
