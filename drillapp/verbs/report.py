"""`drillapp report`: a page about a student or a class, for the teacher or for parents; or the rows."""

from __future__ import annotations

import argparse
import sys
import time
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from drillapp.verbs.arguments import LOG_FILE, InputFault, add_data_argument, existing_log, output_faults

if TYPE_CHECKING:
    from drillapp.desk.desk import TeachersDesk

NAME = "report"
SUMMARY = "write a page about a student or a class, or their answers as a table"
EXAMPLE = "drillapp report --student Ida --since 2026-11-02 --format pdf -o ida.pdf"
FORMS = ("html", "pdf", "csv")
READERS = ("teacher", "parents")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    add_data_argument(parser)
    whose = parser.add_mutually_exclusive_group(required=True)
    whose.add_argument("--student", metavar="NAME", help="a student's name or id")
    whose.add_argument("--class", dest="school_class", metavar="NAME", help="a class's name or id")
    parser.add_argument(
        "--for", dest="reader", choices=READERS, default="teacher", help="who reads it (teacher)"
    )
    parser.add_argument(
        "--since", type=_day, metavar="YYYY-MM-DD", help="only answers from that day's week on (all)"
    )
    parser.add_argument(
        "--format", dest="form", choices=FORMS, help="what it is written as (by OUT's ending)"
    )
    parser.add_argument("-o", "--output", type=Path, required=True, metavar="OUT", help="file to write")


def run(options: argparse.Namespace) -> int:
    from drillapp.desk.desk import TeachersDesk
    from drillapp.records import LogError, data_folder
    from drillapp.reports.reports import REPORTS, Asked, write

    form = options.form or options.output.suffix.lower().lstrip(".")
    if form not in FORMS:
        raise InputFault(f"{options.output}: end the name in .html, .pdf or .csv, or say which with --format")
    of = "class" if options.school_class is not None else "student"
    report = next((one for one in REPORTS if (one.of, one.reader) == (of, options.reader)), None)
    if report is None:
        raise InputFault(f"there is no page about a {of} for {options.reader}; give --student NAME")
    folder = data_folder(options.data)
    try:
        with existing_log(options.data) as log:
            desk = TeachersDesk(log, folder, time.time)
            find = _class_named if of == "class" else _student_named
            key = find(desk, options.school_class if of == "class" else options.student)
            with output_faults(options.output):
                write(report, Asked(desk, key, options.since), form, options.output)
    except LogError as error:
        raise InputFault(f"{folder / LOG_FILE}: {error}") from None
    print(f"the report is in {options.output}", file=sys.stderr)
    return 0


def _day(text: str) -> date:
    return date.fromisoformat(text)


_day.__name__ = "day, written YYYY-MM-DD"  # argparse names it where the value is none


def _student_named(desk: TeachersDesk, name: str) -> str:
    everyone = desk.log.classes.students(archived=True)
    found = [one for one in everyone if name in (one.id, one.shown) or name.casefold() == one.name.casefold()]
    return _only("student", name, [(one.id, one.shown) for one in found], [one.shown for one in everyone])


def _class_named(desk: TeachersDesk, name: str) -> str:
    classes = desk.log.classes.all(archived=True)
    found = [one for one in classes if name == one.id or name.casefold() == one.name.casefold()]
    return _only("class", name, [(one.id, one.name) for one in found], [one.name for one in classes])


def _only(what: str, name: str, found: list[tuple[str, str]], there: list[str]) -> str:
    if not found:
        raise InputFault(f"there is no {what} {name!r}; there is {', '.join(there) or 'none yet'}")
    if len(found) > 1:
        ids = ", ".join(f"{key} ({shown})" for key, shown in found)
        raise InputFault(f"{len(found)} of the name {name!r} are there; give one's id: {ids}")
    return found[0][0]
