"""The reports that there are, and what each is written as.

A report is one file, which makes a ``Page``, and one row of REPORTS. ``of`` is whom it is about, ``reader``
for whom it is; ``make`` is given what was asked: the desk, the id of the student or class (None: those of no
class) and the first day looked at.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from drillapp.decks.deck import Deck
from drillapp.desk.counts import monday_of, week_of
from drillapp.desk.desk import TeachersDesk
from drillapp.files.writing import write_whole
from drillapp.records import Answer, Student
from drillapp.records.entries import day_of
from drillapp.words import desk_screens, set_work
from drillapp.words import reports as words

from .class_page import class_page
from .page import Page
from .parents_page import parents_page
from .student_page import student_page

Of = Literal["student", "class"]
LONGEST_STEM = 60


@dataclass(frozen=True)
class Asked:
    """What a report is asked about; ``invented``: nobody's answers, which it then says.

    ``deck``: a class's answers on the pages of this deck alone.
    """

    desk: TeachersDesk
    key: str | None
    since: date | None = None
    invented: bool = False
    deck: Deck | None = None

    def about(self, of: str) -> str:
        """The line under the title; ``of``: the class, where it is about a student."""
        since = None if self.since is None else monday_of(week_of(self.since))
        return words.about(of, since, self.desk.day, self.invented)


@dataclass(frozen=True)
class Report:
    """One report."""

    of: Of
    reader: str
    make: Callable[[Asked], Page]


def _of_student(asked: Asked, make: Callable[..., Page]) -> Page:
    student = asked.desk.log.classes.student(asked.key or "")
    figures = asked.desk.figures(student, asked.since)
    done = asked.desk.work_of(student)
    work = set_work.running(done) if done else ""
    return make(student.shown, asked.about(class_name(asked.desk, student.in_class)), figures, work)


def _of_class(asked: Asked) -> Page:
    deck = asked.deck
    pages = None if deck is None else frozenset(one.pattern.text for one in deck.patterns)
    table = asked.desk.table(asked.key, asked.since, pages)
    about = asked.about("" if deck is None else words.pages_of(deck.title))
    return class_page(class_name(asked.desk, asked.key), about, table, asked.desk.day)


REPORTS: tuple[Report, ...] = (
    Report("student", "teacher", lambda asked: _of_student(asked, student_page)),
    Report("student", "parents", lambda asked: _of_student(asked, parents_page)),
    Report("class", "teacher", _of_class),
)


def _html(page: Page) -> bytes:
    from .html import html

    return html(page)


def _pdf(page: Page) -> bytes:
    from .pdf import pdf

    return pdf(page)


PAGES: Mapping[str, Callable[[Page], bytes]] = {"pdf": _pdf, "html": _html}
"""What a page can be written as, by the file's ending."""
ROWS = "csv"
FORMS = (*PAGES, ROWS)


def write(report: Report, asked: Asked, form: str, path: Path) -> None:
    """Write a report, whole or not at all. Raises OSError where it cannot be written."""
    write_whole(path, made(report, asked, form), private=True)


def made(report: Report, asked: Asked, form: str) -> bytes:
    """The bytes of a report in one of FORMS; as rows (CSV) it is the answers that it was made from."""
    if form != ROWS:
        return PAGES[form](report.make(asked))
    from .rows import rows

    return rows(_answers(asked, report.of))


def file_in(folder: Path, name: str, reader: str, day: date, form: str) -> Path:
    """Where a report goes: named by whom it is about, with a number where such a file is there."""
    stem = re.sub(r"[^\w-]+", "-", f"{name}-{reader}").strip("-")[:LONGEST_STEM] or "report"
    path, number = folder / f"{stem}-{day.isoformat()}.{form}", 2
    while path.exists():
        path, number = folder / f"{stem}-{day.isoformat()}-{number}.{form}", number + 1
    return path


def class_name(desk: TeachersDesk, key: str | None) -> str:
    """A class by name, or what those of no class stand under."""
    classes = desk.log.classes.all(archived=True)
    return next((one.name for one in classes if one.id == key), desk_screens.no_class_name())


def _answers(asked: Asked, of: Of) -> Iterator[tuple[str, Answer]]:
    """The answers with their student's name; from the first day's Monday on, as the pages have it."""
    desk = asked.desk
    students: tuple[Student, ...]
    if of == "class":
        students = desk.students(asked.key)
    else:
        students = (desk.log.classes.student(asked.key or ""),)
    for student in students:
        for learner in student.learners:
            for answer in desk.log.answers(learner):
                day = day_of(answer.when, answer.offset)
                if asked.since is None or week_of(day) >= week_of(asked.since):
                    yield student.shown, answer
