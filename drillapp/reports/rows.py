"""The answers themselves as a table (CSV, RFC 4180): a row for each sign that was read, as the log has it.

UTF-8 with a byte order mark, by which spreadsheets know it. A text that a spreadsheet would take for a
formula has an apostrophe before it (OWASP, "CSV Injection"), and so has one that begins with an apostrophe:
whoever takes one apostrophe off the start of a text has what the log holds.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from datetime import datetime

from drillapp.records import Answer, FactorAnswer
from drillapp.records.answer import HELPED
from drillapp.words.reports import ROW_HEADS

_GUARDED = ("=", "+", "-", "@", "\t", "\r", "'")


def guarded(text: str) -> str:
    """The text so that no spreadsheet takes it for a formula.

    >>> guarded("-U DU"), guarded("DU")
    ("'-U DU", 'DU')
    """
    return f"'{text}" if text.startswith(_GUARDED) else text


def rows(answers: Iterable[tuple[str, Answer]]) -> bytes:
    """The bytes of the table; each answer with the name of its student. One without signs is one row."""
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow(ROW_HEADS)
    for name, answer in answers:
        for factor in answer.factors or (None,):
            cells = _cells(name, answer, factor)
            writer.writerow([guarded(one) if isinstance(one, str) else one for one in cells])
    return file.getvalue().encode("utf-8-sig")


def _cells(name: str, answer: Answer, factor: FactorAnswer | None) -> tuple[object, ...]:
    when: datetime = answer.local
    of_answer = (
        name,
        when.isoformat(timespec="microseconds"),
        answer.drill,
        answer.pattern,
        answer.meter,
        answer.tempo,
        answer.swing or "",
        " ".join(answer.layers),
        int(answer.first_seen),
        int(bool(answer.extra.get(HELPED))),
        answer.seconds,
    )
    if factor is None:
        return (*of_answer, "", "", "", "", "", "", answer.id)
    return (
        *of_answer,
        factor.at,
        " ".join(factor.features),
        factor.written,
        factor.read or "",
        int(factor.correct),
        factor.guess,
        answer.id,
    )
