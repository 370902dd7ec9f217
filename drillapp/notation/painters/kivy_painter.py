"""Paint a display list on a Kivy canvas, crisp at any density.

Units: pixels, y up. Signs and letters are filled from their outlines once for each size and kept as
textures; stems, beams and lines are rectangles on whole pixels. Each slot's column is moved to a whole
pixel, with everything in it, so that equal signs look equal. A page shown in place of another changes only
the instructions that differ.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import OrderedDict
from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple

import numpy as np
from kivy.graphics import Color, InstructionGroup, Rectangle
from kivy.graphics.texture import Texture
from kivy.utils import get_color_from_hex

from drillapp.notation.display import ROLES, Beam, Curve, DisplayList, Glyph, Item, Line, Text
from drillapp.notation.painters.coverage import Segments, coverage, edges_of, edges_of_path
from drillapp.notation.shapes import drawn, placed

COLOURS: Mapping[str, str] = {"ink": "#1F1B16", "second": "#6B6257", "rule": "#CFC7B6", "mark": "#B34700"}
_ORDER = ("rule", "second", "ink", "mark")
_KEPT_PIXELS = 4_000_000
"""Size of all textures that are kept, 4 bytes a pixel."""
_PHASES = 4


class _Mark(NamedTuple):
    """A rectangle to paint: the key of its texture (None: plain) and its place in whole pixels."""

    texture: tuple[Any, ...] | None
    x: int
    y: int
    width: int
    height: int


class _Shape(NamedTuple):
    texture: Texture
    left: int
    bottom: int


class _Shapes:
    """Textures of outlines already filled, the longest unused given up first."""

    def __init__(self) -> None:
        self._kept: OrderedDict[tuple[Any, ...], _Shape] = OrderedDict()
        self._pixels = 0

    def get(self, key: tuple[Any, ...], edges: Callable[[], Segments]) -> _Shape:
        """The texture under ``key``; ``edges()`` gives its outline in pixels when it must be made."""
        shape = self._kept.get(key)
        if shape is None:
            shape = self._kept[key] = _fill(edges())
            self._pixels += shape.texture.width * shape.texture.height
            while self._pixels > _KEPT_PIXELS and len(self._kept) > 1:
                _, oldest = self._kept.popitem(last=False)
                self._pixels -= oldest.texture.width * oldest.texture.height
        else:
            self._kept.move_to_end(key)
        return shape


def _fill(edges: Segments) -> _Shape:
    left = int(np.floor(min(edges[:, 0].min(), edges[:, 2].min())))
    bottom = int(np.floor(min(edges[:, 1].min(), edges[:, 3].min())))
    right = int(np.ceil(max(edges[:, 0].max(), edges[:, 2].max())))
    top = int(np.ceil(max(edges[:, 1].max(), edges[:, 3].max())))
    columns, rows = max(right - left, 1), max(top - bottom, 1)
    alpha = coverage(edges - np.array([left, bottom, left, bottom]), columns, rows)
    pixels = np.full((rows, columns, 4), 255, np.uint8)
    pixels[..., 3] = np.rint(alpha * 255)
    data = pixels.tobytes()
    texture = Texture.create(size=(columns, rows), colorfmt="rgba")

    def load(texture: Texture) -> None:
        texture.blit_buffer(data, colorfmt="rgba", bufferfmt="ubyte")

    load(texture)
    texture.add_reload_observer(load)
    texture.min_filter = texture.mag_filter = "nearest"
    return _Shape(texture, left, bottom)


_shapes = _Shapes()


class PagePainter:
    """Keeps one page painted in its ``group``; ``show`` puts another page in its place."""

    def __init__(self) -> None:
        self.group = InstructionGroup()
        self._colours: dict[str, Color] = {}
        self._groups: dict[str, InstructionGroup] = {}
        self._painted: dict[str, dict[_Mark, Rectangle]] = {}
        for role in _ORDER:
            self._colours[role] = Color()
            self._groups[role] = InstructionGroup()
            self._painted[role] = {}
            self.group.add(self._colours[role])
            self.group.add(self._groups[role])

    def show(
        self,
        display: DisplayList | None,
        x: float,
        y: float,
        space: float,
        colours: Mapping[str, Any] | None = None,
    ) -> None:
        """Paint the page with its lower left corner at (x, y) and ``space`` pixels to a staff space.

        ``colours``: hex text or RGBA for each role. None for ``display`` clears the page.
        """
        self.recolour(colours or {})
        wanted: dict[str, dict[_Mark, None]] = {role: {} for role in ROLES}
        textures: dict[_Mark, Texture] = {}
        if display is not None:
            setter = _Setter(display, round(x), round(y), space)
            for item in display.items:
                for mark, texture in setter.marks(item):
                    wanted[item.role][mark] = None
                    if texture is not None:
                        textures[mark] = texture
        for role in _ORDER:
            self._change(role, wanted[role], textures)

    def add(self, display: DisplayList, items: Iterable[Item], x: float, y: float, space: float) -> None:
        """Paint more on the page that shows, which stays as it is; parameters are those of ``show``."""
        setter = _Setter(display, round(x), round(y), space)
        for item in items:
            painted, group = self._painted[item.role], self._groups[item.role]
            for mark, texture in setter.marks(item):
                if mark not in painted:
                    painted[mark] = _rectangle(mark, texture)
                    group.add(painted[mark])

    def recolour(self, colours: Mapping[str, Any]) -> None:
        """Set the colours of the roles, leaving everything where it is."""
        for role, colour in {**COLOURS, **colours}.items():
            rgba = get_color_from_hex(colour) if isinstance(colour, str) else list(colour)
            if self._colours[role].rgba != rgba:
                self._colours[role].rgba = rgba

    def _change(self, role: str, wanted: Mapping[_Mark, None], textures: Mapping[_Mark, Texture]) -> None:
        painted, group = self._painted[role], self._groups[role]
        for mark in [mark for mark in painted if mark not in wanted]:
            group.remove(painted.pop(mark))
        for mark in wanted:
            if mark not in painted:
                painted[mark] = _rectangle(mark, textures.get(mark))
                group.add(painted[mark])


def _rectangle(mark: _Mark, texture: Texture | None) -> Rectangle:
    return Rectangle(pos=(mark.x, mark.y), size=(mark.width, mark.height), texture=texture)


class _Setter:
    """Turns the items of one page into marks in whole pixels."""

    def __init__(self, display: DisplayList, x: int, y: int, space: float) -> None:
        self.x, self.y, self.space = x, y, space
        self.slots = display.slots
        self.nudges = [round(slot.x * space) - slot.x * space for slot in display.slots]
        self.columns: list[list[tuple[float, int]]] = [[] for _ in display.systems]
        for index, slot in enumerate(display.slots):
            self.columns[slot.system].append((slot.x, index))

    def marks(self, item: Item) -> list[tuple[_Mark, Texture | None]]:
        nudge = self.nudges[item.slot] if item.slot is not None else 0.0
        if isinstance(item, (Line, Beam)):
            return [(self._rectangle(item, nudge), None)]
        if isinstance(item, Glyph):
            return [self._glyph(item, nudge)]
        if isinstance(item, Text):
            return self._text(item, nudge)
        return [self._curve(item, nudge)]

    def _rectangle(self, item: Line | Beam, nudge: float) -> _Mark:
        left, bottom, right, top = (edge * self.space for edge in item.box)
        if isinstance(item, Beam) and item.slot is not None:
            far = self._nudge_at(item.x2, self.slots[item.slot].system)
            x1, x2 = self.x + round(left + nudge), self.x + round(right + far)
            thick = max(2, round(top - bottom))
            return _Mark(None, x1, self.y + round(top) - thick, max(x2 - x1, 1), thick)
        if right - left < top - bottom:
            wide = max(1, round(right - left))
            x1 = self.x + round((left + right) / 2 + nudge - wide / 2)
            y1, y2 = self.y + round(bottom), self.y + round(top)
            return _Mark(None, x1, y1, wide, max(y2 - y1, 1))
        thick = max(1, round(top - bottom))
        x1, x2 = self.x + round(left + nudge), self.x + round(right + nudge)
        return _Mark(None, x1, self.y + round((bottom + top) / 2 - thick / 2), max(x2 - x1, 1), thick)

    def _nudge_at(self, x: float, system: int) -> float:
        columns = self.columns[system]
        at = bisect_right(columns, (x, len(self.slots))) - 1
        return self.nudges[columns[max(at, 0)][1]]

    def _glyph(self, item: Glyph, nudge: float) -> tuple[_Mark, Texture | None]:
        (shape,) = placed(item)
        x, phase_x = _split(item.x * self.space + nudge)
        y, phase_y = _split(item.y * self.space)
        scale = shape.unit * self.space
        key = ("glyph", item.name, round(scale, 6), phase_x, phase_y)

        def edges() -> Segments:
            outline: Segments = edges_of_path(shape.path) * scale
            return outline + np.array([phase_x, phase_y] * 2) / _PHASES

        return self._textured(key, edges, x, y)

    def _text(self, item: Text, nudge: float) -> list[tuple[_Mark, Texture | None]]:
        shapes = list(placed(item))
        if not shapes:
            return []
        left = item.left
        x, phase_x = _split(left * self.space + nudge)
        key = ("text", item.text, item.face, round(item.size * self.space, 4), phase_x)

        def edges() -> Segments:
            parts = []
            for shape in shapes:
                moved = edges_of_path(shape.path) * (shape.unit * self.space)
                moved[:, 0::2] += (shape.x - left) * self.space + phase_x / _PHASES
                parts.append(moved)
            return np.vstack(parts)

        return [self._textured(key, edges, x, round(item.y * self.space))]

    def _curve(self, item: Curve, nudge: float) -> tuple[_Mark, Texture | None]:
        x, phase_x = _split(item.x1 * self.space + nudge)
        y, phase_y = _split(item.y * self.space)
        length = round((item.x2 - item.x1) * self.space, 2)
        key = ("curve", length, item.depth, item.mid_thickness, self.space, phase_x, phase_y)

        def edges() -> Segments:
            moved: Segments = edges_of(drawn(item)) * self.space
            offset = [phase_x / _PHASES - item.x1 * self.space, phase_y / _PHASES - item.y * self.space]
            moved += np.array(offset * 2)
            return moved

        return self._textured(key, edges, x, y)

    def _textured(
        self, key: tuple[Any, ...], edges: Callable[[], Segments], x: int, y: int
    ) -> tuple[_Mark, Texture | None]:
        shape = _shapes.get(key, edges)
        width, height = shape.texture.size
        mark = _Mark(key, self.x + x + shape.left, self.y + y + shape.bottom, width, height)
        return mark, shape.texture


def _split(value: float) -> tuple[int, int]:
    """Whole pixels, and quarters of a pixel beyond them."""
    quarters = round(value * _PHASES)
    return quarters // _PHASES, quarters % _PHASES
