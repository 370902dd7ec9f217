"""Every item of a display list as plain outlines: paths of M, L, C and Z commands in staff spaces.

One place says what a painter fills, so that all painters fill the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from drillapp.notation.display import Beam, Curve, Glyph, Line, Text
from drillapp.notation.outlines import glyph_path, letter_path, text_offsets


@dataclass(frozen=True)
class Placed:
    """An outline from the tables, put at (x, y) with one font unit ``unit`` staff spaces long.

    ``key`` names the outline: ``("music", glyph name)`` or ``(face, character)``.
    """

    key: tuple[str, str]
    path: str
    x: float
    y: float
    unit: float


def placed(item: Glyph | Text) -> Iterator[Placed]:
    """The outlines that a glyph or a text is made of; spaces are left out."""
    if isinstance(item, Glyph):
        path, unit = glyph_path(item.name)
        yield Placed(("music", item.name), path, item.x, item.y, unit * item.scale)
        return
    left = item.left
    offsets, _ = text_offsets(item.text, item.face)
    for character, offset in zip(item.text, offsets, strict=True):
        path, unit, _ = letter_path(character, item.face)
        if path:
            yield Placed((item.face, character), path, left + offset * item.size, item.y, unit * item.size)


def drawn(item: Line | Beam | Curve) -> list[tuple[str, tuple[float, ...]]]:
    """The outline of a line, beam or curve as (command, coordinates) pairs in staff spaces."""
    if isinstance(item, Curve):
        p = item.edges
        return [
            ("M", p[0]),
            ("C", (*p[1], *p[2], *p[3])),
            ("L", p[4]),
            ("C", (*p[5], *p[6], *p[7])),
            ("Z", ()),
        ]
    left, bottom, right, top = item.box
    return [("M", (left, bottom)), ("L", (right, bottom)), ("L", (right, top)), ("L", (left, top)), ("Z", ())]
