"""Every case of engraving on one picture, to be looked at: ``python -m drillapp.notation.gallery OUT.png``.

Look at it after every change to the engraver, and mend until an engraver would pass it.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

from drillapp.files.writing import write_whole
from drillapp.music import LAYERS, parse
from drillapp.notation.display import Beam, Curve, DisplayList, Item, Line, Text, bracket
from drillapp.notation.engraver import engrave
from drillapp.notation.painters import png

USUAL = ("letters", "counts", "staff")


class Case(NamedTuple):
    """A pattern, what is to be seen in it, and how it is set."""

    what: str
    text: str
    meter: str = "4/4"
    layers: Sequence[str] = USUAL
    swing: str | None = None
    marked: tuple[int, ...] = ()
    options: dict[str, Any] = {}  # noqa: RUF012 (never changed)


CASES = (
    Case("quarters, halves, whole", "D D D D | D - D - | D - - -"),
    Case("tie into 3, marked", "D- DU -U DU", marked=(4,)),
    Case("dotted quarter, tie over the middle", "D- -U -- D-"),
    Case("eighth quarter eighth", "DU -U DU -U"),
    Case("muted strokes, accents", ">D- XU >D- >XU"),
    Case("every rest", "D... .... D.D. .D.D | . . . . | D D . ."),
    Case("sixteenths: beams and beamlets", "DUDU D-DU DUD- D--U | DU-- DU-U -UDU --DU"),
    Case("flags, dots and ties", "D--- ---U --D- ---U"),
    Case("triplets: number and brackets", "DUD D-U DU- .UD"),
    Case("sextuplets", "DUDUDU D-D-D- D--U-- D-DUDU"),
    Case("accents in tuplets", ">DUD >D-U D>U- D"),
    Case("mixed divisions", "D DU DUD DUDU"),
    Case("ties over barlines", "D- DU -U DU | -- DU -U D- | -- -- D- --"),
    Case("6/8", "DUD DUD | D-- D-U | D-D --D", "6/8"),
    Case("6/8 in sixteenths, and in two", "DUDUDU D-DUD- | DU DU", "6/8"),
    Case("12/8", "D-D D-D D-U -UD", "12/8"),
    Case("3/4 and its ties", "D- DU -U | D - -", "3/4"),
    Case("2+2+3/8", "D- DU DUD | DU -U D-D", "2+2+3/8"),
    Case("2/2", "D- DU | D-DU X-DU", "2/2"),
    Case("swing 2:1, tempo", "DU DU DU DU", swing="2:1", options={"tempo": True}),
    Case("swing 3:1", "DU DU DU DU", swing="3:1", layers=("staff",)),
    Case("swing 3:2", "DU DU DU DU", swing="3:2", layers=("staff",), options={"tempo": True}),
    Case("all layers", "D- DU -U >XU", layers=LAYERS, options={"tempo": True}),
    Case("arrows: muted, accented, against the hand", "D- XU -U >Du UD", "5/4", ("arrows", "counts")),
    Case("letters alone, a mute against the hand", "D-DU -uD- >XUDd D---", layers=("letters",)),
    Case("bow marks alone", "D- DU -U DU", layers=("bows",)),
    Case("counts alone, two bars", "D- DU DUD DUDU | D D D D", layers=("counts",)),
    Case("counts to be filled in", "D- DU -U DU", layers=("staff", "counts"), options={"blank_counts": True}),
    Case("repeat", "D- DU -U DU", options={"ending": "repeat"}),
    Case(
        "lines broken, ties over their ends",
        " | ".join(["D-DU X-DU D-DU -UDU", "-UDU X-DU D-D- -UDU"] * 2),
        options={"width": 78.0},
    ),
)
_COLUMN, _WIDEST = 84.0, 80.0
_CAPTION, _GAP = 2.6, 3.0


def gallery(columns: int = 2) -> DisplayList:
    """All cases as one display list, captioned, in columns."""
    heights = [0.0] * columns
    placed: list[tuple[DisplayList, str, int, float]] = []
    for case in CASES:
        pattern = parse(case.text, case.meter, swing=case.swing)
        page = engrave(pattern, case.layers, **case.options)
        if page.width > _WIDEST:
            page = engrave(pattern, case.layers, **{**case.options, "width": _WIDEST})
        page = page.with_items(bracket(page, case.marked))
        column = heights.index(min(heights))
        placed.append((page, f"{case.what}:  {case.text}"[:90], column, heights[column]))
        heights[column] += page.height + _CAPTION + _GAP
    height = max(heights)
    items: list[Item] = []
    for page, caption, column, down in placed:
        x, top = column * _COLUMN, height - down
        items.append(Text(caption, x, top - 1.3, 1.4, "regular", "left", None, "", "second"))
        items += [moved(item, x, top - _CAPTION - page.height) for item in page.items]
    return DisplayList(tuple(items), columns * _COLUMN, height, (), (), ())


def moved(item: Item, right: float, up: float) -> Item:
    """The item somewhere else, belonging to no slot."""
    if isinstance(item, Line):
        x1, x2, y1, y2 = item.x1 + right, item.x2 + right, item.y1 + up, item.y2 + up
        return replace(item, slot=None, x1=x1, x2=x2, y1=y1, y2=y2)
    if isinstance(item, (Beam, Curve)):
        return replace(item, slot=None, x1=item.x1 + right, x2=item.x2 + right, y=item.y + up)
    return replace(item, slot=None, x=item.x + right, y=item.y + up)


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(prog="python -m drillapp.notation.gallery", description=__doc__)
    parser.add_argument("output", type=Path, help="the PNG file to write")
    parser.add_argument("--space", type=float, default=10.0, help="pixels to a staff space (10)")
    options = parser.parse_args(arguments)
    write_whole(options.output, png.paint(gallery(), space=options.space, ground="#FFFDF8"))


if __name__ == "__main__":
    main()
