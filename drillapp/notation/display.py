"""The display list: what is on the page and where, with nothing said about how it is painted.

Units: staff spaces. x runs to the right and y up from the page's lower left corner. Every item carries
the index of the slot it belongs to (see ``Pattern.places``) or None, the layer it shows, and the role of
its colour: ``ink``, ``second`` (quieter ink), ``rule`` (faint guide lines) or ``mark`` (a place pointed at).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from drillapp.notation.outlines import cap_height, text_width
from drillapp.notation.smufl import metrics

ROLES = ("ink", "second", "rule", "mark")

Box = tuple[float, float, float, float]
"""left, bottom, right, top"""


@dataclass(frozen=True)
class Glyph:
    """A music glyph by its SMuFL name, its origin at (x, y)."""

    name: str
    x: float
    y: float
    slot: int | None = None
    layer: str = ""
    role: str = "ink"
    scale: float = 1.0

    @property
    def box(self) -> Box:
        left, bottom, right, top = metrics(self.name).box
        size = self.scale
        return self.x + left * size, self.y + bottom * size, self.x + right * size, self.y + top * size


@dataclass(frozen=True)
class Line:
    """A straight line with square ends, level or upright."""

    x1: float
    y1: float
    x2: float
    y2: float
    thickness: float
    slot: int | None = None
    layer: str = ""
    role: str = "ink"

    @property
    def box(self) -> Box:
        half = self.thickness / 2
        if self.x1 == self.x2:
            return self.x1 - half, min(self.y1, self.y2), self.x1 + half, max(self.y1, self.y2)
        return min(self.x1, self.x2), self.y1 - half, max(self.x1, self.x2), self.y1 + half


@dataclass(frozen=True)
class Beam:
    """A level beam from x1 to x2; ``y`` is its upper edge."""

    x1: float
    x2: float
    y: float
    thickness: float
    slot: int | None = None
    layer: str = "staff"
    role: str = "ink"

    @property
    def box(self) -> Box:
        return self.x1, self.y - self.thickness, self.x2, self.y


@dataclass(frozen=True)
class Curve:
    """A tie from (x1, y) to (x2, y) that sags by ``depth`` in its middle, thin at its ends."""

    x1: float
    x2: float
    y: float
    depth: float
    end_thickness: float
    mid_thickness: float
    slot: int | None = None
    layer: str = "staff"
    role: str = "ink"

    @property
    def box(self) -> Box:
        half = self.mid_thickness / 2
        return self.x1, self.y - self.depth - half, self.x2, self.y + self.end_thickness / 2

    @property
    def edges(self) -> tuple[tuple[float, float], ...]:
        """The outline as two cubics: start, c, c, end of the near edge, then start, c, c, end of the far one.

        A cubic with both control points at depth d sags by 3/4 d, so the controls are set 4/3 deeper.
        """
        length = self.x2 - self.x1
        inset = min(length * 0.3, 1.6)
        ends, middle = self.end_thickness / 2, self.mid_thickness / 2
        near = self.y + ends - (self.depth - middle + ends) * 4 / 3
        far = self.y - ends - (self.depth + middle - ends) * 4 / 3
        left, right = self.x1 + inset, self.x2 - inset
        return (
            (self.x1, self.y + ends),
            (left, near),
            (right, near),
            (self.x2, self.y + ends),
            (self.x2, self.y - ends),
            (right, far),
            (left, far),
            (self.x1, self.y - ends),
        )


@dataclass(frozen=True)
class Text:
    """A line of text; (x, y) is on the baseline at the left, middle or right; ``size`` is that of an em."""

    text: str
    x: float
    y: float
    size: float
    face: str = "semibold"
    align: str = "middle"
    slot: int | None = None
    layer: str = ""
    role: str = "ink"

    @property
    def left(self) -> float:
        width = text_width(self.text, self.face, self.size)
        return self.x - {"left": 0.0, "middle": width / 2, "right": width}[self.align]

    @property
    def box(self) -> Box:
        left = self.left
        top = self.y + cap_height(self.face) * self.size
        return left, self.y, left + text_width(self.text, self.face, self.size), top


Item: TypeAlias = "Glyph | Line | Beam | Curve | Text"


@dataclass(frozen=True)
class SlotPlace:
    """Where a slot stands: its system (a line of the page, from 0), its middle, and its share of the line."""

    system: int
    x: float
    left: float
    right: float


@dataclass(frozen=True)
class System:
    """One line of the page: its bars (first, past the last), its y range, and that of each of its layers."""

    bars: tuple[int, int]
    bottom: float
    top: float
    extents: dict[str, tuple[float, float]] = field(hash=False)


@dataclass(frozen=True)
class DisplayList:
    """A page laid out in staff spaces; see the module's conventions."""

    items: tuple[Item, ...]
    width: float
    height: float
    slots: tuple[SlotPlace, ...]
    systems: tuple[System, ...]
    layers: tuple[str, ...]
    title: str = ""
    description: str = ""

    def slot_box(self, slot: int) -> Box:
        """The whole column of a slot, over all layers of its system."""
        place = self.slots[slot]
        system = self.systems[place.system]
        return place.left, system.bottom, place.right, system.top

    def with_items(self, items: Iterable[Item]) -> DisplayList:
        """The same page with more painted on it."""
        return replace(self, items=self.items + tuple(items))


BRACKET_DEPTH = 1.25
"""Room that every system keeps below its lowest layer, for a bracket under the counts."""


def bracket(display: DisplayList, slots: Iterable[int], role: str = "mark") -> tuple[Line, ...]:
    """Brackets under the given slots, neighbours joined: lines to add with ``DisplayList.with_items``."""
    lines: list[Line] = []
    wanted = sorted(set(slots))
    runs: list[list[int]] = []
    for slot in wanted:
        last = runs[-1][-1] if runs else None
        if last is not None and slot == last + 1 and display.slots[slot].system == display.slots[last].system:
            runs[-1].append(slot)
        else:
            runs.append([slot])
    thickness, hook = 0.28, 0.5
    for run in runs:
        first, final = display.slots[run[0]], display.slots[run[-1]]
        inset = 0.14 * (first.right - first.left)
        left, right = first.left + inset, final.right - inset
        y = display.systems[first.system].bottom + thickness / 2
        lines += [
            Line(left, y, right, y, thickness, run[0], "", role),
            Line(left + thickness / 2, y, left + thickness / 2, y + hook, thickness, run[0], "", role),
            Line(right - thickness / 2, y, right - thickness / 2, y + hook, thickness, run[0], "", role),
        ]
    return tuple(lines)
