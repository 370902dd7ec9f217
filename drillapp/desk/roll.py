"""A class's roll: names from text that was pasted, or from a table as spreadsheets write it (CSV, RFC 4180).

Conventions: a name a line, or a row a student with the columns parted by comma, semicolon or tab. A first
row of words such as "name", "first name", "surname" says which columns hold the name. Bytes are read as
UTF-8, as UTF-16 where they begin with its mark, else as Windows-1252, the usual one of older spreadsheets.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from drillapp.files.reading import read_bounded
from drillapp.records.learner_line import NameRefused, clean_name

MOST_NAMES = 500
MOST_BYTES = 256 * 1024
_WHOLE = {"name", "student", "students", "pupil", "schüler", "schülerin", "élève", "nombre y apellidos"}
_FIRST = {
    "first name",
    "firstname",
    "first",
    "given name",
    "forename",
    "vorname",
    "prénom",
    "prenom",
    "nombre",
}
_LAST = {
    "last name",
    "lastname",
    "last",
    "surname",
    "family name",
    "nachname",
    "nom",
    "apellido",
    "apellidos",
}


class RollRefused(ValueError):
    """A roll that cannot be taken; which line and why, with a code and the values in it by name."""

    def __init__(self, message: str, *, code: str, places: Mapping[str, object] | None = None) -> None:
        super().__init__(message)
        self.message, self.code, self.places = message, code, dict(places or {})


@dataclass(frozen=True)
class Roll:
    """The names in their order; ``doubled``: names that stand there more than once, and are kept apart."""

    names: tuple[str, ...]
    doubled: tuple[str, ...] = ()


def roll_in_file(path: Path) -> Roll:
    """The roll of a file. Raises RollRefused naming the file, the line and the reason."""
    try:
        data = read_bounded(path, MOST_BYTES)
    except OSError as error:
        reason = error.strerror or error
        raise RollRefused(
            f"{path}: cannot be read as a roll ({reason}).",
            code="roll-unreadable",
            places={"path": path, "reason": reason},
        ) from error
    try:
        return roll_in_text(_decoded(data))
    except RollRefused as refused:
        raise RollRefused(
            f"{path}: {refused.message}", code="roll-file", places={"path": path, "fault": refused.message}
        ) from refused


def roll_in_text(text: str) -> Roll:
    """The roll of a pasted text. Raises RollRefused naming the line and the reason.

    >>> roll_in_text("Surname;First name\\nNilsson;Carla\\nTamm;Carla").names
    ('Carla Nilsson', 'Carla Tamm')
    """
    text = text.lstrip("\ufeff")
    if "\0" in text:
        raise RollRefused("This is no text: it holds bytes that no name has.", code="roll-no-text")
    rows = _rows(text)
    if len(rows) > MOST_NAMES + 1:
        raise RollRefused(
            f"The roll has {len(rows):,} lines; a class has at most {MOST_NAMES} names. "
            "Give one class at a time.",
            code="roll-long",
            places={"lines": f"{len(rows):,}", "most": MOST_NAMES},
        )
    columns, start = _columns(rows)
    names = []
    for line, row in rows[start:]:
        raw = " ".join(row[at] for at in columns if at < len(row))
        if not raw.strip():
            continue
        try:
            names.append(clean_name(raw))
        except NameRefused as refused:
            raise RollRefused(
                f"Line {line}: {refused.message}",
                code="roll-line",
                places={"line": line, "fault": refused.message},
            ) from refused
    if not names:
        raise RollRefused("There is no name in it. Write one name a line.", code="roll-empty")
    if len(names) > MOST_NAMES:
        raise RollRefused(
            f"The roll has {len(names):,} names; a class has at most {MOST_NAMES}.",
            code="roll-names",
            places={"names": f"{len(names):,}", "most": MOST_NAMES},
        )
    counts = Counter(name.casefold() for name in names)
    doubled = dict.fromkeys(name for name in names if counts[name.casefold()] > 1)
    return Roll(tuple(names), tuple(doubled))


def _decoded(data: bytes) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def _rows(text: str) -> list[tuple[int, list[str]]]:
    first = next((line for line in text.splitlines() if line.strip()), "")
    mark = max(";\t,", key=first.count)
    if not first.count(mark):
        lines = enumerate(text.splitlines(), 1)
        return [(number, [line]) for number, line in lines if line.strip()]
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    try:
        return [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
    except csv.Error as error:
        raise RollRefused(
            f"Line {reader.line_num}: {error}.",
            code="roll-csv",
            places={"line": reader.line_num, "fault": error},
        ) from error


def _columns(rows: Sequence[tuple[int, list[str]]]) -> tuple[tuple[int, ...], int]:
    """Which columns hold the name, and in which row the names begin."""
    if not rows:
        return (0,), 0
    head = [cell.strip().casefold() for cell in rows[0][1]]
    first = next((at for at, cell in enumerate(head) if cell in _FIRST), None)
    last = next((at for at, cell in enumerate(head) if cell in _LAST), None)
    whole = next((at for at, cell in enumerate(head) if cell in _WHOLE), None)
    if whole is not None:
        return (whole,), 1
    if first is not None or last is not None:
        return tuple(at for at in (first, last) if at is not None), 1
    return (0,), 0
