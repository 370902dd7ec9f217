"""Outlines of music glyphs and letters, from small tables, so that drawing them needs no font library.

A path is a string of absolute commands ``M x y``, ``L x y``, ``C x1 y1 x2 y2 x y`` and ``Z`` with whole
numbers in font units, y up. The tables in ``media/fonts`` are made from the fonts beside them by
``python -m drillapp.notation.make_outlines``.
"""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from drillapp.files.resources import shipped

"""The text faces: Inter SemiBold and Inter Regular."""

_MISSING = "?"


@cache
def load_table(name: str) -> dict[str, Any]:
    """The outline table ``music``, ``semibold`` or ``regular``; read once, when first asked for."""
    path = shipped("media", "fonts", f"outlines-{name}.json")
    table: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return table


@cache
def glyph_path(name: str) -> tuple[str, float]:
    """A music glyph's path and the size of one font unit in staff spaces."""
    table = load_table("music")
    return table["glyphs"][name]["path"], 4 / table["unitsPerEm"]


@cache
def letter_path(character: str, face: str) -> tuple[str, float, float]:
    """A character's path, the size of one font unit in ems, and its advance in ems.

    A character that the table does not have is drawn as a question mark.
    """
    table = load_table(face)
    glyphs = table["glyphs"]
    advance, path = glyphs.get(character) or glyphs[_MISSING]
    unit = 1 / table["unitsPerEm"]
    return path, unit, advance * unit


@cache
def text_offsets(text: str, face: str) -> tuple[tuple[float, ...], float]:
    """Each character's x and the text's whole width, in ems, kerned."""
    table = load_table(face)
    kern, unit = table["kern"], 1 / table["unitsPerEm"]
    at, offsets = 0.0, []
    for index, character in enumerate(text):
        if index:
            at += kern.get(text[index - 1] + character, 0) * unit
        offsets.append(at)
        at += letter_path(character, face)[2]
    return tuple(offsets), at


def text_width(text: str, face: str, size: float) -> float:
    """Width of the text in the unit that the size of its em is given in."""
    return text_offsets(text, face)[1] * size


@cache
def cap_height(face: str) -> float:
    """Height of a capital in ems."""
    table = load_table(face)
    return float(table["capHeight"]) / float(table["unitsPerEm"])
