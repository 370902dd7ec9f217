"""A page for a student's parents, in plain words: what goes well, what to practise, how to help."""

from __future__ import annotations

from collections.abc import Sequence

from drillapp.desk.student import Practised, SignFigures, StudentFigures
from drillapp.desk.told import told
from drillapp.words import reports as words
from drillapp.words.signs import meaning, title
from drillapp.words.standing import short_day

from .charts import length_bar, range_bar
from .page import Cell, Column, Page, Part, Sentences, Table

MOST_WEEKS = 8


def parents_page(name: str, about: str, figures: StudentFigures, work: str = "") -> Page:
    """The page; ``work``: what is done of the set work, in a sentence."""
    rows: list[tuple[Part, ...]] = []
    said = (words.practised(figures), *words.taken_for(figures), work)
    if lines := tuple(line for line in said if line):
        rows.append((Sentences("", lines),))
    if figures.signs:
        rows.append((_signs(figures.signs),))
    if figures.weeks:
        rows.append((_weeks(figures.weeks[-MOST_WEEKS:]),))
    rows.append((Sentences(words.part("at home"), words.at_home(figures)),))
    return Page(words.parents_title(name), about, words.parents_finding(name, figures), tuple(rows))


def _signs(signs: Sequence[SignFigures]) -> Table:
    rows = []
    for one in signs:
        share = one.all
        rows.append(
            (
                Cell(title(one.feature), sign=one.feature, strong=one.weak),
                Cell(meaning(one.feature)),
                Cell(drawing=range_bar(told(share, one.weak), share.low, share.middle, share.high)),
                Cell(words.in_plain_words(one), strong=one.weak),
            )
        )
    columns = (
        Column(words.head("sign"), 36),
        Column(words.head("what"), 60),
        Column(words.head("bar"), 46),
        Column(words.head("about"), 36),
    )
    return Table(words.part("reading"), columns, tuple(rows), words.how_parents_read())


def _weeks(weeks: Sequence[Practised]) -> Table:
    most = max(week.minutes for week in weeks)
    rows = tuple(
        (
            Cell(short_day(week.monday)),
            Cell(drawing=length_bar(week.minutes / most if most else 0.0)),
            Cell(words.week_minutes(week)),
            Cell(f"{week.days}"),
        )
        for week in weeks
    )
    columns = (
        Column(words.head("week"), 36),
        Column(words.head("length"), 60),
        Column(words.head("minutes"), 24),
        Column(words.head("days"), 58),
    )
    return Table(words.part("practised"), columns, rows)
