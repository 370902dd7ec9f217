"""What a report holds, whatever it is written as: sentences, tables with drawings in them, pages of notation.

Every chart is drawn into a table whose other cells say the same in figures, so none is without its table.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from drillapp.notation.display import DisplayList


@dataclass(frozen=True)
class Column:
    """A column: its head, its share of the width, and the feature whose own sign stands over it."""

    head: str
    width: float
    align: str = "left"
    sign: str = ""


@dataclass(frozen=True)
class Cell:
    """A cell: words, a drawing as wide as there is room, a feature's own sign before the words."""

    text: str = ""
    drawing: DisplayList | None = None
    sign: str = ""
    strong: bool = False


@dataclass(frozen=True)
class Table:
    """``note``: how it is read."""

    heading: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    note: str = ""

    def beside(self, column: int) -> bool:
        """Whether words stand beside the drawings of a column, which then leave room in every row."""
        return any(row[column].drawing is not None and row[column].text for row in self.rows)


@dataclass(frozen=True)
class Figures:
    """Pages of notation, each with what is said of it."""

    heading: str
    pages: tuple[tuple[str, DisplayList], ...]


@dataclass(frozen=True)
class Sentences:
    """A heading with sentences, a line each."""

    heading: str
    lines: tuple[str, ...]


Part: TypeAlias = "Table | Figures | Sentences"


@dataclass(frozen=True)
class Page:
    """A report: ``about`` says of whom, of when and made when; ``finding`` is what matters most.

    A row of ``rows`` is one part, or two beside each other. ``lying``: wider than high.
    """

    title: str
    about: str
    finding: str
    rows: tuple[tuple[Part, ...], ...]
    lying: bool = False
