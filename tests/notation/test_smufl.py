"""Glyph names, code points and measures against SMuFL 1.4 and the fonts themselves."""

from __future__ import annotations

import json

import pytest
from fontTools.ttLib import TTFont

from drillapp.files.resources import shipped
from drillapp.notation.outlines import letter_path, load_table, text_width
from drillapp.notation.painters.coverage import edges_of_path
from drillapp.notation.smufl import CODE_POINTS, default, metrics

# SMuFL 1.4 (W3C), metadata/glyphnames.json: name, code point; Bravura 1.392: advance in staff spaces.
STANDARD = """
noteheadXWhole E0A7 1.508      noteheadXHalf E0A8 1.336       noteheadXBlack E0A9 1.160
noteheadBlack E0A4 1.180       noteheadSlashHorizontalEnds E101 2.124
noteheadSlashWhiteWhole E102 3.920   noteheadSlashWhiteHalf E103 3.120   noteheadSlashX E106 2.124
flag8thUp E240 1.056           flag16thUp E242 1.116
restWhole E4E3 1.132           restHalf E4E4 1.132            restQuarter E4E5 1.080
rest8th E4E6 1.000             rest16th E4E7 1.280            rest32nd E4E8 1.452
timeSig0 E080 1.880            timeSig1 E081 1.336            timeSig2 E082 1.784
timeSig3 E083 1.684            timeSig4 E084 1.880            timeSig5 E085 1.612
timeSig6 E086 1.736            timeSig7 E087 1.764            timeSig8 E088 1.744   timeSig9 E089 1.736
articAccentAbove E4A0 1.356    augmentationDot E1E7 0.400
stringsDownBow E610 1.248      stringsUpBow E612 1.000
arrowBlackUp EB60 0.912        arrowBlackDown EB64 0.912
tuplet3 E883 1.184             tupletColon E88A 0.444
barlineSingle E030 0.144       barlineFinal E032 0.916        repeatDots E043 0.400
"""
_WORDS = STANDARD.split()
ROWS = [
    (name, int(code, 16), float(advance)) for name, code, advance in zip(*[iter(_WORDS)] * 3, strict=True)
]

# SMuFL 1.4, metadata/ranges.json.
RANGES = {
    "timeSig": (0xE080, 0xE09F),
    "noteheadSlash": (0xE100, 0xE10F),
    "flag": (0xE240, 0xE25F),
    "artic": (0xE4A0, 0xE4BF),
    "rest": (0xE4E0, 0xE4FF),
    "strings": (0xE610, 0xE62F),
    "tuplet": (0xE880, 0xE88F),
    "arrow": (0xEB60, 0xEB8F),
    "met": (0xECA0, 0xECBF),
}


@pytest.fixture(scope="module")
def bravura() -> TTFont:
    return TTFont(shipped("media", "fonts", "Bravura.otf"))


@pytest.fixture(scope="module")
def metadata() -> dict:
    return json.loads(shipped("media", "fonts", "Bravura-metadata.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("name", "code", "advance"), ROWS)
def test_a_glyph_has_the_standard_s_code_point_and_the_font_s_advance(name, code, advance):
    assert metrics(name).code == CODE_POINTS[name] == code
    assert metrics(name).advance == pytest.approx(advance, abs=0.0005)


def test_every_glyph_lies_in_its_range_of_the_standard():
    for start, (first, last) in RANGES.items():
        inside = [name for name in CODE_POINTS if name.startswith(start) and not name.startswith("noteheadX")]
        assert inside and all(first <= CODE_POINTS[name] <= last for name in inside), start


def test_measures_are_those_of_the_font_s_own_metadata(metadata):
    for name in CODE_POINTS:
        glyph, box = metrics(name), metadata["glyphBBoxes"][name]
        assert glyph.advance == metadata["glyphAdvanceWidths"][name]
        assert glyph.box == (*box["bBoxSW"], *box["bBoxNE"])
        assert {k: list(v) for k, v in glyph.anchors.items()} == metadata["glyphsWithAnchors"].get(name, {})
    for name in (
        "staffLineThickness",
        "stemThickness",
        "beamThickness",
        "beamSpacing",
        "tieMidpointThickness",
    ):
        assert default(name) == metadata["engravingDefaults"][name]


def test_an_em_of_the_font_is_four_staff_spaces(bravura):
    # SMuFL: glyphs are drawn so that one em is the height of a five-line staff.
    names = bravura.getBestCmap()
    for name, code in CODE_POINTS.items():
        width, _ = bravura["hmtx"][names[code]]
        assert width / bravura["head"].unitsPerEm * 4 == pytest.approx(metrics(name).advance, abs=0.003)


def test_the_outline_under_a_code_point_fills_the_box_that_the_metadata_gives_for_the_name():
    # Ties the name to the drawing: a wrong code point would draw another box.
    unit = 4 / load_table("music")["unitsPerEm"]
    for name in CODE_POINTS:
        edges = edges_of_path(load_table("music")["glyphs"][name]["path"]) * unit
        xs, ys = edges[:, 0::2], edges[:, 1::2]
        drawn = (xs.min(), ys.min(), xs.max(), ys.max())
        assert drawn == pytest.approx(metrics(name).box, abs=0.035), name


def test_an_unknown_glyph_is_named():
    with pytest.raises(KeyError, match="noteheadMoon"):
        metrics("noteheadMoon")


@pytest.mark.parametrize(
    ("face", "file"), [("semibold", "Inter-SemiBold.otf"), ("regular", "Inter-Regular.otf")]
)
def test_letters_are_as_wide_as_the_text_font_says(face, file):
    font = TTFont(shipped("media", "fonts", file))
    names, em = font.getBestCmap(), font["head"].unitsPerEm
    for character in "DUXe+a–1234567890é":
        assert letter_path(character, face)[2] == pytest.approx(font["hmtx"][names[ord(character)]][0] / em)


def test_text_is_kerned():
    apart = text_width("A", "semibold", 1) + text_width("V", "semibold", 1)
    assert text_width("AV", "semibold", 1) < apart


def test_a_character_without_an_outline_is_a_question_mark():
    assert letter_path("漢", "regular") == letter_path("?", "regular")
