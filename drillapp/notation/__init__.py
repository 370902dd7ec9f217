"""Notation: a pattern laid out once as a display list in staff spaces, and painted by any painter.

Floor 2.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from drillapp.music import Pattern
from drillapp.notation.display import (
    ROLES,
    Beam,
    Curve,
    DisplayList,
    Glyph,
    Item,
    Line,
    SlotPlace,
    System,
    Text,
    bracket,
)
from drillapp.notation.engraver import engrave
from drillapp.notation.fit import fit
from drillapp.notation.painters import svg

__all__ = [
    "ROLES",
    "Beam",
    "Curve",
    "DisplayList",
    "Glyph",
    "Item",
    "Line",
    "SlotPlace",
    "System",
    "Text",
    "bracket",
    "engrave",
    "fit",
    "to_svg",
]


def to_svg(pattern: Pattern, layers: Iterable[str], **options: Any) -> str:
    """The pattern's page as an SVG document in which every sign is an outline.

    ``options`` are those of ``engrave``. Raises ValueError as ``engrave`` does.

    >>> from drillapp.music import parse
    >>> to_svg(parse("D- DU -U DU"), ["staff", "counts"]).startswith("<svg")
    True
    """
    return svg.paint(engrave(pattern, layers, **options))
