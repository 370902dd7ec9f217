"""Where things stand in a TOML file, so that a fault in what it says can be shown in the text.

``tomllib`` gives values without their places. This scanner finds, in text that is valid TOML or nearly so,
every table header and every key with its value, and maps a character of a string value back to the
character of the file that wrote it. Lines and columns count from 1, in characters.

Source: T. Preston-Werner, P. Gedam and others, TOML v1.0.0, 2021 (https://toml.io/en/v1.0.0).
"""

from __future__ import annotations

import re
import sys
from bisect import bisect_right
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from drillapp.music.errors import Named

from .faults import MAX_FAULTS

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib  # type: ignore[import-not-found, unused-ignore]

_PLACE = re.compile(r"\s*\(at line (\d+), column (\d+)\)\s*$")
_HEADER_LINE = re.compile(r"^[ \t]*\[", re.MULTILINE)
_PATTERN_HEADER = re.compile(r"[ \t]*\[\[[ \t]*[\"']?pattern[\"']?[ \t]*\]\]")
_KEY = re.compile(
    r"[ \t]*((?:[^\s=\"'#\[\]{},.]+|\"[^\"\n]*\"|'[^'\n]*')(?:[ \t]*\.[ \t]*[^\s=#]+)*)[ \t]*=[ \t]*"
)
_ESCAPES = {"b", "t", "n", "f", "r", '"', "\\", "e"}
_SLIPS_A_TABLE = 20
_MOST_PIECES = 5_000
_MOST_PARTS = 8
_DOTTED = re.compile(r"[\w\"'-]+(?:[ \t]*\.[ \t]*[\w\"'-]+)*")
_KEY_END = re.compile(r"[ \t]*[=\]]")
_CODE_LENGTH = {"x": 2, "u": 4, "U": 8}


@dataclass(frozen=True)
class KeyPlace:
    """A key of a table: offsets of the key and of its value in the text."""

    key: int
    value: int


@dataclass
class Table:
    """A stretch of the file under one header ("" before the first), with its keys."""

    name: str
    array: bool
    start: int
    entries: dict[str, KeyPlace] = field(default_factory=dict)


@dataclass(frozen=True)
class SyntaxFault:
    """What the TOML reader stumbled over, and where."""

    offset: int
    message: str
    code: str = field(kw_only=True)
    places: Named = field(default_factory=dict, kw_only=True)


class Places:
    """Offsets of a text as line and column."""

    def __init__(self, text: str) -> None:
        self.length = len(text)
        self.starts = [0, *(found.end() for found in re.finditer("\n", text))]

    def line_column(self, offset: int) -> tuple[int, int]:
        offset = max(0, min(offset, self.length))
        line = bisect_right(self.starts, offset)
        return line, offset - self.starts[line - 1] + 1


def load(text: str) -> tuple[dict[str, Any], tuple[SyntaxFault, ...]]:
    """The values of the text, and its faults of syntax.

    Where the whole cannot be read, each stretch between headers is read alone, so that one slip does not
    hide the next; the values are then those of the stretches that could be read.
    """
    if deep := _deep_key(text):
        return {}, (deep,)
    try:
        return tomllib.loads(text), ()
    except (ValueError, RecursionError) as error:
        whole = _fault(error, text, 0)
    cuts = [0, *(found.start() for found in _HEADER_LINE.finditer(text)), len(text)]
    if len(cuts) > _MOST_PIECES:
        return {}, (whole,)
    values: dict[str, Any] = {}
    faults: list[SyntaxFault] = []
    for start, end in pairwise(cuts):
        if len(faults) >= MAX_FAULTS:
            break
        read, found = _read_piece(text[start:end], start)
        _merge(values, read)
        faults.extend(found)
    return values, tuple(faults) or (whole,)


def _deep_key(text: str) -> SyntaxFault | None:
    """A key of more parts than any deck has; the reader's time grows with their square."""
    for found in _DOTTED.finditer(text):
        if found[0].count(".") >= _MOST_PARTS and _KEY_END.match(text, found.end()):
            return SyntaxFault(
                found.start(),
                f"this key has more than {_MOST_PARTS} parts; a deck's keys have one or two",
                code="toml-deep-key",
                places={"most": _MOST_PARTS},
            )
    return None


def _read_piece(piece: str, start: int) -> tuple[dict[str, Any], list[SyntaxFault]]:
    """Read one stretch; a line that cannot be read is named, left out, and the rest is read again."""
    faults: list[SyntaxFault] = []
    for _ in range(_SLIPS_A_TABLE):
        try:
            return tomllib.loads(piece), faults
        except (ValueError, RecursionError) as error:
            fault = _fault(error, piece, start)
        if faults and fault.offset <= faults[-1].offset:
            break
        faults.append(fault)
        first = piece.rfind("\n", 0, fault.offset - start) + 1
        last = _line_end(piece, first)
        piece = piece[:first] + " " * (last - first) + piece[last:]
    headed = _PATTERN_HEADER.match(piece)
    return {"pattern": [{}]} if headed else {}, faults  # keeps those after it in step with their headers


def tables(text: str, broken: bool = False) -> tuple[Table, ...]:
    """The stretches of the text under their headers, in order, with the places of their keys.

    Where its syntax is ``broken``, every line that looks like a header is one, as ``load`` has it too.
    """
    if not broken:
        return tuple(_tables(text, 0, len(text)))
    cuts = [0, *(found.start() for found in _HEADER_LINE.finditer(text)), len(text)]
    pieces = [_tables(text, start, end) for start, end in pairwise(cuts)]
    # Each piece but the first begins with its header; the empty table before it is none.
    return (pieces[0][0], *(table for piece in pieces for table in piece[1:]))


def _tables(text: str, at: int, end: int) -> list[Table]:
    text = text[:end]
    found = [Table("", False, at)]
    while at < end:
        mark = text[at]
        if mark in " \t\r\n":
            at += 1
        elif mark == "#":
            at = _line_end(text, at)
        elif mark == "[":
            line = text[at : _line_end(text, at)]
            array = line.startswith("[[")
            name = line.lstrip("[").split("]")[0].strip().strip("\"'")
            found.append(Table(name, array, at))
            at += len(line)
        else:
            key = _KEY.match(text, at)
            if not key:
                at = _line_end(text, at)
                continue
            name = key[1].split(".")[0].strip().strip("\"'")
            found[-1].entries.setdefault(name, KeyPlace(key.start(1), key.end()))
            at = _value_end(text, key.end())
    return found


def string_offsets(text: str, at: int) -> tuple[int, ...]:
    """For each character of the string value that starts at ``at``, the offset that wrote it, and the end's.

    Empty where no string starts there.
    """
    quote = text[at : at + 1]
    if quote not in ('"', "'"):
        return ()
    long = text.startswith(quote * 3, at)
    at += 3 if long else 1
    if long and text.startswith("\n", at):
        at += 1
    close = quote * (3 if long else 1)
    offsets: list[int] = []
    while at < len(text):
        if text.startswith(close, at):
            break
        if text[at] == "\n" and not long:
            break
        if text[at] == "\\" and quote == '"':
            after = text[at + 1 : at + 2]
            if after in _ESCAPES:
                offsets.append(at)
                at += 2
            elif after in _CODE_LENGTH:
                offsets.append(at)
                at += 2 + _CODE_LENGTH[after]
            else:  # the backslash at a line's end swallows the white space after it
                at += 1
                while at < len(text) and text[at] in " \t\n":
                    at += 1
            continue
        offsets.append(at)
        at += 1
    return (*offsets, at)


def _line_end(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end


def _value_end(text: str, at: int) -> int:
    """Where the value that starts at ``at`` ends: past its line, its strings and its brackets."""
    depth = 0
    while at < len(text):
        mark = text[at]
        if mark in "\"'":
            offsets = string_offsets(text, at)
            long = text.startswith(mark * 3, at)
            at = offsets[-1]
            if text.startswith(mark, at):
                at += 3 if long else 1
            while long and text.startswith(mark, at):
                at += 1
            continue
        if mark == "#":
            at = _line_end(text, at)
            continue
        if mark in "[{":
            depth += 1
        elif mark in "]}":
            depth -= 1
        elif mark == "\n" and depth <= 0:
            return at
        at += 1
    return at


def _fault(error: Exception, text: str, start: int) -> SyntaxFault:
    if isinstance(error, RecursionError):
        deep = re.search(r"[\[{](?:\s*[\[{]){20}", text)
        start += deep.start() if deep else 0
        return SyntaxFault(
            start,
            "brackets inside brackets without end; a deck needs no more than two deep",
            code="toml-too-deep",
        )
    message = str(error)
    place = _PLACE.search(message)
    if place:
        offset = _start_of_line(text, int(place[1])) + int(place[2]) - 1
    else:
        long = re.search(r"\d{4000,}", text)
        offset = long.start() if long and "Exceeds" in message else len(text.rstrip())
    if "Cannot overwrite" in message or "twice" in message:  # reported after the statement: go back to it
        first = text.rfind("\n", 0, max(offset - 1, 0)) + 1
        offset = first + len(text[first:offset]) - len(text[first:offset].lstrip())
    return _in_words(start + offset, re.sub(r"\s*\(at [^)]*\)\s*$", "", message))


def _start_of_line(text: str, line: int) -> int:
    at = 0
    for _ in range(line - 1):
        at = text.find("\n", at) + 1
    return at


_WORDS = (
    (
        r"Expected '=' after a key.*",
        "toml-equals",
        'a key is followed by = and its value, such as title = "Morning walk"',
    ),
    (
        r"Invalid value",
        "toml-value",
        'this is not a value; write text in quotes, such as text = "D DU D DU", and numbers bare',
    ),
    (
        r"Illegal character '\\n'.*",
        "toml-quote",
        "the text ends without its closing quote; put one at the end of the line",
    ),
    (
        r"Unterminated string.*|Expected .*\"'?$|Expected \"'''\".*",
        "toml-long-quote",
        "a text is not closed; put the closing quotes after it",
    ),
    (r"Cannot overwrite a value", "toml-key-twice", "this key is already given above; keep one of the two"),
    (
        r"Cannot declare .* twice.*",
        "toml-heading-twice",
        "this heading is already given above; patterns are headed [[pattern]], in two brackets",
    ),
    (
        r"Unescaped '\\' in a string.*",
        "toml-backslash",
        "a backslash in a text is written twice; pattern text needs none",
    ),
    (
        r"Invalid initial character for a key part.*",
        "toml-key",
        "here a key should begin, such as title, or a heading [[pattern]]",
    ),
    (
        r"Expected newline or end of document after a statement.*",
        "toml-two-keys",
        "one key a line; put this on a line of its own, or close the quotes before it",
    ),
    (
        r"Expected '\]+' at the end of .*",
        "toml-heading-close",
        "a heading is closed as it was opened: [[pattern]]",
    ),
    (r"Unclosed array", "toml-list-open", "a list is not closed; put ] after its last value"),
    (
        r"Unclosed inline table",
        "toml-table-open",
        "a table in braces is not closed; put } after its last value",
    ),
    (
        r"Invalid statement",
        "toml-statement",
        'this is not a key; a line is a key, = and its value, such as title = "Morning walk"',
    ),
    (r"Exceeds the limit.*", "toml-number-long", "this number is far too long; write a tempo such as 84"),
)


def _in_words(offset: int, message: str) -> SyntaxFault:
    for pattern, code, words in _WORDS:
        if re.match(pattern, message):
            return SyntaxFault(offset, words, code=code)
    reason = f"{message[:1].lower()}{message[1:]}"
    return SyntaxFault(
        offset, f"not readable as TOML: {reason}", code="toml-unreadable", places={"reason": reason}
    )


def _merge(values: dict[str, Any], more: dict[str, Any]) -> None:
    for key, value in more.items():
        if isinstance(value, list) and isinstance(values.get(key), list):
            values[key].extend(value)
        else:
            values.setdefault(key, value)
