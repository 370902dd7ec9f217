"""A class's page: students by signs, what most misread, who has not handed in, what to read next."""

from __future__ import annotations

from datetime import date

from drillapp.desk.class_table import Cell as Reading
from drillapp.desk.desk import DeskTable, signs_to_set
from drillapp.desk.told import TOLD, WEAK, told
from drillapp.words import reports as words
from drillapp.words import students
from drillapp.words.signs import title

from .charts import range_bar
from .page import Cell, Column, Page, Part, Sentences, Table

_BARS = 92.0  # staff spaces for the bars of all signs together
_NAME, _SEEN, _MINUTES, _WORK, _SIGNS = 36.0, 21.0, 15.0, 24.0, 167.0


def class_page(name: str, about: str, table: DeskTable, today: date) -> Page:
    """The page; ``today`` says how long ago somebody was seen."""
    found = table.table.by_most
    finding = students.by_most(found)
    said = [
        *((students.evidence(found[0]),) if found else ()),
        students.others_by_most(found),
        words.not_handed_in(table.table),
        words.to_set_next(signs_to_set(table.table)),
        words.error_rate(table.table.error_rate),
    ]
    if not table.students:
        return Page(name, about, words.nobody(), (), lying=True)
    rows: list[tuple[Part, ...]] = [(_table(table, today),)]
    rows.append((Sentences("", tuple(line for line in said if line)),))
    return Page(name, about, finding, tuple(rows), lying=True)


def _table(table: DeskTable, today: date) -> Table:
    signs = table.table.signs
    columns = (
        Column(words.head("student"), _NAME),
        *(Column(title(sign), _SIGNS / max(1, len(signs)), sign=sign) for sign in signs),
        Column(words.head("seen"), _SEEN),
        Column(words.head("minutes"), _MINUTES, "middle"),
        Column(words.head("work"), _WORK),
    )
    rows = []
    for row in table.table.rows:
        seen = table.seen[row.id]
        rows.append(
            (
                Cell(row.name, strong=any(cell.weak for cell in row.cells)),
                *(_cell(cell, _BARS / len(signs)) for cell in row.cells),
                Cell(students.seen(seen, today)),
                Cell(f"{row.minutes:.0f}"),
                Cell(students.work(table.work[row.id], seen is not None)),
            )
        )
    return Table(words.part("class"), columns, tuple(rows), words.how_cells_are_read())


def _cell(one: Reading, wide: float) -> Cell:
    share = one.share
    state = told(share, one.weak)
    bar = range_bar(state, share.low, share.middle, share.high, wide)
    return Cell(words.of_ten_alone(share.middle) if state in (TOLD, WEAK) else "", bar, strong=one.weak)
