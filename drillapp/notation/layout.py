"""The columns of a pattern set out on lines: where every slot and barline stands.

Units: staff spaces, x from the page's left edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from drillapp.music import Note, Pattern, Place
from drillapp.notation.display import SlotPlace
from drillapp.notation.spacing import BarSpace, Column, bar_space, break_lines, stretch_factor
from drillapp.notation.staff import beam_groups, note_extents

CONTINUED = 1.2
"""Room at the start of a line that goes on from another, for a tie that arrives there."""


@dataclass(frozen=True)
class BarPlan:
    """One bar before it is set on a line: its slots and, where the staff is shown, its notes and beams."""

    number: int
    begin: Fraction
    places: tuple[Place, ...]
    notes: tuple[Note, ...]
    groups: tuple[tuple[Note, ...], ...]

    @cached_property
    def beamed(self) -> frozenset[int]:
        """The notes that are under a beam, by identity."""
        return frozenset(id(note) for group in self.groups for note in group)

    @cached_property
    def slots(self) -> dict[int, int]:
        """The slot in which each note starts; notes by identity."""
        found: dict[int, int] = {}
        number = 0
        for note in self.notes:
            while number + 1 < len(self.places) and self.places[number + 1].at <= note.at:
                number += 1
            found[id(note)] = self.places[number].index
        return found

    @cached_property
    def silent(self) -> bool:
        """Whether the bar has one rest for all of it."""
        return len(self.notes) == 1 and self.notes[0].stroke is None and len(self.places) > 0

    def is_flagged(self, note: Note) -> bool:
        return note.stroke is not None and note.value.denominator > 1 and id(note) not in self.beamed


@dataclass(frozen=True)
class LinePlan:
    """One line of the page: its bars, the x of each of their slots (by index) and of their barlines."""

    number: int
    bars: tuple[BarPlan, ...]
    xs: dict[int, float]
    edges: tuple[float, ...]
    start: float
    end: float


def plan_bars(pattern: Pattern, spelled: Sequence[tuple[Note, ...]]) -> list[BarPlan]:
    """The pattern's bars, with the staff's notes where ``spelled`` has them."""
    places: list[list[Place]] = [[] for _ in pattern.bars]
    for place in pattern.places:
        places[place.bar].append(place)
    plans = []
    for number, of_bar in enumerate(places):
        begin = pattern.meter.length * number
        notes = spelled[number] if spelled else ()
        groups = tuple(tuple(group) for group in beam_groups(pattern.meter, begin, notes)) if notes else ()
        plans.append(BarPlan(number, begin, tuple(of_bar), notes, groups))
    return plans


def bar_spaces(bars: Sequence[BarPlan], label_widths: Sequence[float]) -> list[BarSpace]:
    """Room for each bar; ``label_widths`` has the widest row entry of every slot."""
    spaces = []
    for bar in bars:
        columns = [
            Column(place.length, place.beat, label_widths[place.index] / 2, label_widths[place.index] / 2)
            for place in bar.places
        ]
        if not bar.silent:
            first = bar.places[0].index
            for note in bar.notes:
                columns[bar.slots[id(note)] - first].widen(*note_extents(note, bar.is_flagged(note)))
        spaces.append(bar_space(columns))
    return spaces


def set_lines(
    bars: Sequence[BarPlan],
    spaces: Sequence[BarSpace],
    prefix: float,
    ending: float,
    width: float | None,
    bars_per_line: int | None,
) -> list[LinePlan]:
    """Break the bars into lines and set each: natural width, or stretched or squeezed to ``width``.

    ``prefix``: room for the time signature at the start; ``ending``: for the last barline.
    """
    lines = []
    target = width
    breaks = break_lines(spaces, prefix + ending, width, bars_per_line)
    if width is None and len(breaks) > 1:
        target = max(
            sum(space.width(1.0) for space in spaces[first:last])
            + (prefix if first == 0 else min(prefix, CONTINUED))
            + ending
            for first, last in breaks
        )
    for number, (first, last) in enumerate(breaks):
        of_line = spaces[first:last]
        before = prefix if first == 0 else min(prefix, CONTINUED)
        after = ending
        factor = 1.0 if target is None else stretch_factor(of_line, target - before - after)
        lines.append(_set_line(number, bars[first:last], of_line, before, after, factor))
    return lines


def _set_line(
    number: int,
    bars: Sequence[BarPlan],
    spaces: Sequence[BarSpace],
    before: float,
    after: float,
    factor: float,
) -> LinePlan:
    xs: dict[int, float] = {}
    x = before
    edges = [x]
    for bar, space in zip(bars, spaces, strict=True):
        x += space.lead
        for place, natural, least in zip(bar.places, space.natural, space.least, strict=True):
            xs[place.index] = x
            x += max(natural * factor, least)
        edges.append(x)
    edges[0] = 0.0
    return LinePlan(number, tuple(bars), xs, tuple(edges), 0.0, x + after)


def slot_places(lines: Sequence[LinePlan]) -> tuple[SlotPlace, ...]:
    """Each slot's column: from half-way to its neighbour on the left to half-way to that on the right."""
    found: list[SlotPlace] = []
    for line in lines:
        for number, bar in enumerate(line.bars):
            indexes = [place.index for place in bar.places]
            xs = [line.xs[index] for index in indexes]
            for i, x in enumerate(xs):
                right_gap = (xs[i + 1] if i + 1 < len(xs) else line.edges[number + 1]) - x
                left_gap = x - xs[i - 1] if i else right_gap
                if i + 1 == len(xs) and i:
                    right_gap = min(right_gap, left_gap)
                left = max(x - left_gap / 2, line.edges[number] if i == 0 else 0.0)
                found.append(SlotPlace(line.number, x, left, x + right_gap / 2))
    return tuple(found)
