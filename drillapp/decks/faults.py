"""Faults in files: a place, what is wrong there, and what would be right. Lines and columns count from 1."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from drillapp.music.errors import Named, PatternError
from drillapp.music.text import MAX_TEXT, parse

MAX_FAULTS = 200


@dataclass(frozen=True)
class Fault:
    """Something wrong in a file: where, what, and what would be right. A warning does not stop the file.

    ``code`` and ``places`` as in ``CodedError``, so that it can be said in another language.
    """

    file: str
    line: int
    column: int
    message: str
    warning: bool = False
    code: str = field(kw_only=True)
    places: Named = field(default_factory=dict, kw_only=True, compare=False)

    def __str__(self) -> str:
        kind = "warning: " if self.warning else ""
        return f"{self.file}:{self.line}:{self.column}: {kind}{self.message}"


def text_faults(text: str, meter: str = "4/4") -> tuple[PatternError, ...]:
    """Every fault of a pattern's text, each with its line and column in it; empty where there is none.

    >>> [(fault.line, fault.column) for fault in text_faults("D DQ D D | D D D | D D D 9")]
    [(1, 4), (1, 18), (1, 26)]
    """
    try:
        parse(text, meter)
    except PatternError as error:
        first = error
    else:
        return ()
    found: list[PatternError] = []
    structure = list(text)
    for word in re.finditer(r"[^\s|]+", text[:MAX_TEXT]):
        line, start = text.count("\n", 0, word.start()) + 1, text.rfind("\n", 0, word.start()) + 1
        structure[word.start() : word.end()] = "D" + " " * (len(word[0]) - 1)
        try:
            parse(word[0], "1/4")
        except PatternError as error:
            column = word.start() - start + error.column
            found.append(PatternError(error.message, line, column, code=error.code, places=error.places))
        if len(found) >= MAX_FAULTS:
            break
    bare = "".join(structure)
    number, at = 0, 0
    for bar in bare.split("|"):
        number += bool(bar.strip())
        if bar.strip() and not any(_within(error, bare, at, at + len(bar)) for error in found):
            blank = re.sub(r"[^\n]", " ", bare[:at])
            try:
                parse(blank + bar, meter)
            except PatternError as error:
                message = re.sub(r"^bar 1 ", f"bar {number} ", error.message)
                places = error.places | ({"bar": number} if "bar" in error.places else {})
                found.append(PatternError(message, error.line, error.column, code=error.code, places=places))
        at += len(bar) + 1
    return tuple(sorted(found, key=lambda error: (error.line, error.column))) or (first,)


def _within(error: PatternError, text: str, start: int, end: int) -> bool:
    at = 0
    for _ in range(error.line - 1):
        at = text.find("\n", at) + 1
    return start <= at + error.column - 1 < end


def kind_of(value: object) -> str:
    """What a value is, in words, such as "a number"."""
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, (int, float)):
        return "a number"
    if isinstance(value, str):
        return "text"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, dict):
        return "a table"
    return "a date or time"
