"""Paint a display list as SVG. Glyphs and letters are outlines, so no font is needed to see it.

One user unit is one staff space; ``space`` sets its size on the screen in CSS pixels.
"""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from drillapp.notation.display import Curve, DisplayList, Glyph, Item, Text
from drillapp.notation.shapes import drawn, placed

INK: Mapping[str, str] = {"ink": "#1F1B16", "second": "#6B6257", "rule": "#CFC7B6", "mark": "#B34700"}
MARGIN = 0.6
"""White kept around the page, in staff spaces, so that no curve or hook is cut off."""


def paint(
    display: DisplayList,
    *,
    space: float = 10.0,
    colours: Mapping[str, str] | None = None,
    ground: str | None = None,
    prefix: str = "g",
    margin: float = MARGIN,
) -> str:
    """The page as an SVG document.

    ``space``: pixels of one staff space; ``colours``: a CSS colour for each role; ``ground``: a colour behind
    the page, or None; ``prefix``: start of the ids inside, where several pages stand in one document;
    ``margin``: white around the page, in staff spaces.
    """
    ink = {**INK, **(colours or {})}
    shapes: dict[tuple[str, str], tuple[str, str]] = {}
    body: list[str] = []
    role = ""
    for item in sorted(display.items, key=lambda item: _ROLE_ORDER[item.role]):
        if item.role != role:
            if role:
                body.append("</g>")
            role = item.role
            body.append(f'<g fill="{ink[role]}">')
        body.append(_element(item, display.height, shapes, prefix))
    if role:
        body.append("</g>")
    width, height = display.width + 2 * margin, display.height + 2 * margin
    background = ""
    if ground:
        box = f'x="{_n(-margin)}" y="{_n(-margin)}" width="{_n(width)}" height="{_n(height)}"'
        background = f'<rect {box} fill="{escape(ground)}"/>'
    return "".join(
        [
            '<svg xmlns="http://www.w3.org/2000/svg" '
            f'width="{_n(width * space)}" height="{_n(height * space)}" '
            f'viewBox="{_n(-margin)} {_n(-margin)} {_n(width)} {_n(height)}" role="img" '
            f'aria-labelledby="{prefix}-title {prefix}-desc">',
            f'<title id="{prefix}-title">{escape(display.title)}</title>',
            f'<desc id="{prefix}-desc">{escape(display.description)}</desc>',
            "<defs>",
            *(f'<path id="{name}" d="{path}"/>' for name, path in shapes.values()),
            "</defs>",
            background,
            *body,
            "</svg>\n",
        ]
    )


_ROLE_ORDER = {"rule": 0, "second": 1, "ink": 2, "mark": 3}


def _element(item: Item, height: float, shapes: dict[tuple[str, str], tuple[str, str]], prefix: str) -> str:
    slot = "" if item.slot is None else f' data-slot="{item.slot}"'
    if isinstance(item, (Glyph, Text)):
        uses = []
        for shape in placed(item):
            if shape.key not in shapes:
                name = shape.key[1] if shape.key[0] == "music" else f"{shape.key[0]}-{ord(shape.key[1]):X}"
                shapes[shape.key] = (f"{prefix}-{name}", shape.path)
            name = shapes[shape.key][0]
            unit = f"{shape.unit:.6g}"
            matrix = f"{unit} 0 0 -{unit} {_n(shape.x)} {_n(height - shape.y)}"
            uses.append(f'<use href="#{name}" transform="matrix({matrix})"{slot}/>')
        return "".join(uses)
    if isinstance(item, Curve):
        path = "".join(
            command + " ".join(_n(height - v if i % 2 else v) for i, v in enumerate(values))
            for command, values in drawn(item)
        )
    else:
        left, bottom, right, top = item.box
        path = f"M{_n(left)} {_n(height - top)}H{_n(right)}V{_n(height - bottom)}H{_n(left)}Z"
    return f'<path d="{path}"{slot}/>'


def _n(value: float) -> str:
    return f"{round(value, 3):g}"
