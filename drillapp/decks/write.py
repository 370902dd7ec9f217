"""Writing a deck as TOML that a teacher can read, keeping what was written by hand.

An existing text is kept stretch by stretch: each pattern's lines, with the comments above and in them, move,
stay or go with their pattern, and only values that have changed are written anew. What comes out is read
again, so that it says what the deck says.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import Table as TomlTable

from drillapp.music.slots import Number

from .deck import Deck, DeckPattern
from .read import read_deck
from .toml import tables

_HEADER = "[[pattern]]\n"


def write_deck(deck: Deck, text: str = "") -> str:
    """The TOML text of ``deck``; of ``text``, what the file said before, comments and order are kept.

    Patterns are known again by their ``line`` in ``text``; a line used twice is a copy, line 0 a new pattern.

    >>> from drillapp.music import parse
    >>> print(write_deck(Deck("one", "One", "", (DeckPattern("Steps", parse("D D D D"), 60, 110),))), end="")
    title = "One"
    tempo = 90
    tempo_range = [60, 110]
    <BLANKLINE>
    [[pattern]]
    title = "Steps"
    text = "D D D D"
    """
    text = text.replace("\r\n", "\n").removeprefix("\ufeff")
    if text.strip():
        try:
            kept = _rewritten(deck, text)
        except (TOMLKitError, ValueError):
            kept = None
        if kept is not None and _says(kept, deck):
            return kept
    return _written_anew(deck)


@dataclass
class _Stretch:
    """The text under one header, with the comment lines that stand right above it."""

    text: str
    line: int  # of its header, in the whole text


def _rewritten(deck: Deck, text: str) -> str | None:
    old, _ = read_deck(text, deck.name)
    found = _stretches(text)
    if old is None or found is None:
        return None
    head, patterns = found
    known = {pattern.line: pattern for pattern in old.patterns}
    by_line = {stretch.line: stretch.text for stretch in patterns}
    parts = [_edited(head, lambda table: _set_deck(table, deck, old), None)]
    used: set[int] = set()
    for pattern in deck.patterns:
        if pattern.line in by_line:
            source = by_line[pattern.line]
            if pattern.line in used:  # a copy takes no comments along
                source = "\n".join(line for line in source.split("\n") if not line.lstrip().startswith("#"))
            used.add(pattern.line)
            before = known[pattern.line]
            parts.append(_edited(source, _setter(pattern, before), "pattern"))
        else:
            parts.append(_edited(_HEADER, _setter(pattern, None), "pattern"))
    return "\n\n".join(part.strip("\n") for part in parts if part.strip("\n")) + "\n"


def _stretches(text: str) -> tuple[str, list[_Stretch]] | None:
    """The head and the pattern stretches of a text; None where it is written in some other way."""
    headers = tables(text)[1:]
    if any(not (table.array and table.name == "pattern") for table in headers):
        return None
    lines = text.split("\n")
    starts = [text.count("\n", 0, table.start) for table in headers]
    cuts = []
    for start in starts:
        cut = start
        while cut > 0 and lines[cut - 1].lstrip().startswith("#"):
            cut -= 1
        if cut == 0:
            cut = start  # a comment at the very top belongs to the file
        cuts.append(cut)
    ends = [*cuts[1:], len(lines)]
    head = "\n".join(lines[: cuts[0]]) if cuts else text
    found = [
        _Stretch("\n".join(lines[cut:end]), start + 1)
        for cut, end, start in zip(cuts, ends, starts, strict=True)
    ]
    return head, found


def _edited(text: str, edit: Callable[[Any], None], name: str | None) -> str:
    document = tomlkit.parse(text)
    edit(document if name is None else document[name][0])
    return tomlkit.dumps(document)


def _set_deck(table: Any, deck: Deck, old: Deck) -> None:
    for key in ("title", "advice", "signs", "layers"):
        value = getattr(deck, key)
        if value != getattr(old, key):
            _put(table, key, list(value) if isinstance(value, tuple) else value)


def _setter(pattern: DeckPattern, before: DeckPattern | None) -> Callable[[Any], None]:
    def edit(table: TomlTable) -> None:
        ours, theirs = _values(pattern), _values(before) if before else {}
        for key, value in ours.items():
            # The range that a pattern takes from its deck follows its tempo, so both are written.
            follows = key == "tempo_range" and ours["tempo"] != theirs.get("tempo")
            if before is None or follows or value != theirs[key]:
                _put(table, key, value)
        if before is None:
            for key in ("advice", "swing"):
                if not ours[key]:
                    table.pop(key, None)

    return edit


def _put(table: Any, key: str, value: Any) -> None:
    if value in ("", [], None) and key != "title":
        if key == "swing" and value is None:
            table[key] = "straight"  # the deck may swing
        else:
            table.pop(key, None)
        return
    table[key] = _lined_up(value) if key == "text" else value


def _values(pattern: DeckPattern) -> dict[str, Any]:
    music = pattern.pattern
    swing = music.swing
    return {
        "title": pattern.title,
        "meter": music.meter.text,
        "tempo": _plain(music.tempo),
        "tempo_range": [_plain(pattern.tempo_low), _plain(pattern.tempo_high)],
        "swing": None if swing is None else f"{swing.numerator}:{swing.denominator}",
        "text": music.text,
        "advice": pattern.advice,
    }


def _plain(number: Number) -> int | float:
    if isinstance(number, Fraction):
        return int(number) if number.denominator == 1 else float(number)
    return number


def _lined_up(text: str) -> Any:
    """Long texts are written with a few bars on a line."""
    bars = text.split(" | ")
    if len(text) <= 72 or len(bars) < 3:
        return text
    per_line = max(1, 60 // (max(map(len, bars)) + 3))
    lines = [" | ".join(bars[n : n + per_line]) for n in range(0, len(bars), per_line)]
    return tomlkit.string("\n" + " |\n".join(lines) + "\n", multiline=True)


def _written_anew(deck: Deck) -> str:
    document = tomlkit.document()
    document["title"] = deck.title
    for key in ("advice", "signs", "layers"):
        value = getattr(deck, key)
        if value:
            document[key] = list(value) if isinstance(value, tuple) else value
    rows = [_values(pattern) for pattern in deck.patterns]
    shared: dict[str, Any] = {}
    for keys in (("meter",), ("tempo", "tempo_range"), ("swing",)):  # a range goes with its tempo
        usual = Counter(repr([row[key] for key in keys]) for row in rows).most_common(1)
        chosen = next((row for row in rows if repr([row[key] for key in keys]) == usual[0][0]), {})
        shared |= {key: chosen[key] for key in keys if key in chosen}
    for key, value in shared.items():
        if value is not None and (key, value) != ("meter", "4/4"):
            document[key] = value
    parts = [tomlkit.dumps(document)]
    for row in rows:
        table = tomlkit.table()
        at_pace = all(row[key] == shared[key] for key in ("tempo", "tempo_range"))
        for key, value in row.items():
            same = at_pace if key.startswith("tempo") else key in shared and value == shared[key]
            if key == "swing" and value is None and shared["swing"] is not None:
                value = "straight"
            if not same and value not in (None, ""):
                table[key] = _lined_up(value) if key == "text" else value
        parts.append(_HEADER + tomlkit.dumps(table))
    return "\n".join(parts)


def _says(text: str, deck: Deck) -> bool:
    """Whether the text is read as this deck, wherever its patterns stand."""
    read, _ = read_deck(text, deck.name)
    return read is not None and _content(read) == _content(deck)


def _content(deck: Deck) -> Deck:
    patterns = tuple(replace(pattern, line=0) for pattern in deck.patterns)
    return replace(deck, patterns=patterns, source="", advice=re.sub(r"\s+", " ", deck.advice).strip())
