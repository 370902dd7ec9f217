"""A student's page: each sign, its weeks, what is read as what, the pages misread most."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from drillapp.desk.findings import ERROR_RATE
from drillapp.desk.student import PageFigures, ReadAs, SignFigures, StudentFigures
from drillapp.desk.told import told
from drillapp.music import parse
from drillapp.notation import engrave
from drillapp.words import reports as words
from drillapp.words import students
from drillapp.words.signs import title, way_name
from drillapp.words.standing import short_day

from .charts import range_bar, week_chart
from .page import Cell, Column, Figures, Page, Part, Sentences, Table

MOST_WEEKS, MOST_READ_AS, MOST_FIGURES = 6, 8, 3


def student_page(name: str, about: str, figures: StudentFigures, work: str = "") -> Page:
    """The page; ``work``: what is done of the set work, in a sentence."""
    rows: list[tuple[Part, ...]] = [
        (Sentences("", tuple(line for line in (students.heading(figures), work) if line)),)
    ]
    if figures.signs:
        rows.append((signs_table(figures.signs),))
        rows.append((weeks_table(figures.signs),))
        rows.append((read_as_table(figures.read_as), pages(figures.pages)))
        rows.append((Sentences("", (students.timing(figures.strummed),)),))
    return Page(name, about, students.diagnosis(figures, ERROR_RATE), tuple(rows))


def signs_table(signs: Sequence[SignFigures]) -> Table:
    """Each sign's range, drawn and in figures, first-seen beside met-before."""
    rows = []
    for one in signs:
        share = one.all
        rows.append(
            (
                Cell(title(one.feature), sign=one.feature, strong=one.weak),
                Cell(drawing=range_bar(told(share, one.weak), share.low, share.middle, share.high)),
                Cell(students.sign_note(one), strong=one.weak),
                Cell(words.of_ten(one, fresh=True)),
                Cell(words.of_ten(one, fresh=False)),
                Cell(words.missing(one.missing)),
            )
        )
    columns = (
        Column(words.head("sign"), 36),
        Column(words.head("range"), 46),
        Column(words.head("of 100"), 34),
        Column(words.head("fresh"), 19, "middle"),
        Column(words.head("met"), 19, "middle"),
        Column(words.head("missing"), 24),
    )
    return Table(words.part("signs"), columns, tuple(rows), words.how_ranges_are_read())


def weeks_table(signs: Sequence[SignFigures]) -> Table:
    """Each sign week by week, drawn and in figures; the last weeks in which anything was read."""
    shown: list[date] = sorted({week.monday for one in signs for week in one.weeks})[-MOST_WEEKS:]
    rows = []
    for one in signs:
        by_week = {week.monday: week.share for week in one.weeks}
        told_there = (by_week.get(monday) for monday in shown)
        rows.append(
            (
                Cell(title(one.feature), sign=one.feature, strong=one.weak),
                Cell(drawing=week_chart(one.weeks, shown)),
                *(
                    Cell(words.week_cell(share.count, share.low, share.middle, share.high) if share else "")
                    for share in told_there
                ),
            )
        )
    columns = (
        Column(words.head("sign"), 36),
        Column(words.head("weeks"), 46),
        *(Column(short_day(monday), 96 / len(shown), "middle") for monday in shown),
    )
    return Table(words.part("weeks"), columns, tuple(rows), words.how_weeks_are_read())


def read_as_table(read_as: Sequence[ReadAs]) -> Part:
    """What was written and read as something else, the most frequent first."""
    wrong = sorted((one for one in read_as if not one.right), key=lambda one: -one.times)[:MOST_READ_AS]
    if not wrong:
        return Sentences(words.part("read as"), (words.not_misread(),))
    rows = tuple(
        (
            Cell(title(one.feature), sign=one.feature),
            Cell(way_name(one.written)),
            Cell(way_name(one.read)),
            Cell(words.times(one.times, one.of)),
        )
        for one in wrong
    )
    columns = (
        Column(words.head("sign"), 34),
        Column(words.head("written"), 20),
        Column(words.head("read"), 20),
        Column(words.head("times"), 18),
    )
    return Table(words.part("read as"), columns, rows)


def pages(misread: Sequence[PageFigures]) -> Part:
    """The pages misread most, in notation."""
    if not misread:
        return Sentences(words.part("pages"), (words.not_misread(),))
    return Figures(
        words.part("pages"),
        tuple(
            (
                students.misread(one.wrong, one.of),
                engrave(parse(one.pattern, one.meter, swing=one.swing), one.layers),
            )
            for one in misread[:MOST_FIGURES]
        ),
    )
