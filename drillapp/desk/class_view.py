"""A class as the teacher looks at it: in which order, over which time, which students, which deck.

Conventions: ``sign`` None stands for all; PERIODS are weeks back from today, None for all answers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from .class_table import Cell, ClassRow
from .desk import DeskTable
from .told import TOLD, WEAK, told

PERIODS: tuple[int | None, ...] = (4, 12, None)
NAME, SEEN = "name", "seen"
ORDERS = (NAME, SEEN)


@dataclass(frozen=True)
class View:
    """How a class is looked at. ``deck``: a deck's name; ``sign``: sorted by it, the lowest first."""

    order: str = NAME
    sign: str | None = None
    only_weak: bool = False
    weeks: int | None = None
    deck: str | None = None

    def since(self, today: date) -> date | None:
        """The first day looked at."""
        return None if self.weeks is None else today - timedelta(weeks=self.weeks)


def rows_of(table: DeskTable, view: View) -> tuple[ClassRow, ...]:
    """The rows to show, in their order; those of equal rank by name, as they stand in the table."""
    signs = table.table.signs
    place = signs.index(view.sign) if view.sign in signs else None
    rows: Sequence[ClassRow] = table.table.rows
    if view.only_weak:
        cells = slice(None) if place is None else slice(place, place + 1)
        rows = [row for row in rows if any(cell.weak for cell in row.cells[cells])]
    if place is not None:
        rows = sorted(rows, key=lambda row: _low_first(row.cells[place]))
    elif view.order == SEEN:
        rows = sorted(rows, key=lambda row: table.seen[row.id] or date.min)
    return tuple(rows)


def absent(table: DeskTable) -> int:
    """How many have not handed in anything of the time looked at."""
    return len(table.table.absent)


def _low_first(cell: Cell) -> tuple[bool, float]:
    known = told(cell.share, cell.weak) in (TOLD, WEAK)
    return not known, cell.share.middle if known else 0.0
