"""Reading a deck file: the deck that it writes, or every fault that it has, each at its place."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Any

from drillapp.music.errors import Named, PatternError
from drillapp.music.feature_table import FEATURES, LAYERS
from drillapp.music.meter import Meter
from drillapp.music.pattern import check_tempo
from drillapp.music.slots import Number
from drillapp.music.text import parse, read_swing

from .deck import MAX_CHARACTERS, MAX_PATTERNS, MAX_TITLE, Deck, DeckPattern, usual_range
from .faults import MAX_FAULTS, Fault, kind_of, text_faults
from .toml import Places, Table, load, string_offsets, tables

MAX_LINE = 30_000
MAX_ADVICE = 600

_ENOUGH_FAULTS = 5 * MAX_FAULTS

_SHARED = ("title", "advice", "meter", "tempo", "tempo_range", "swing")
DECK_KEYS = (*_SHARED, "signs", "layers", "pattern")
PATTERN_KEYS = ("title", "text", *_SHARED[1:])


def read_deck(text: str, name: str, source: str | None = None) -> tuple[Deck | None, tuple[Fault, ...]]:
    """The deck that ``text`` writes, or None and every fault that it has.

    ``name`` is the deck's name (its file's, without .toml); ``source`` the path that faults name.

    >>> deck, faults = read_deck('title = "One"\\n[[pattern]]\\ntitle = "Steps"\\ntext = "D D D"', "one")
    >>> print(deck, faults[0])
    None one.toml:4:14: bar 1 has 3 of the 4 beats of 4/4; write 1 more beat (spaces part beats, - keeps a \
place that is not struck)
    """
    reader = _Reader(text.replace("\r\n", "\n").removeprefix("\ufeff"), source or f"{name}.toml")
    deck = reader.read(name)
    faults = sorted(reader.faults, key=lambda fault: (fault.line, fault.column))
    if len(faults) > MAX_FAULTS:
        last = faults[MAX_FAULTS - 1]
        more = len(faults) + reader.untold - MAX_FAULTS + 1
        faults[MAX_FAULTS - 1 :] = [
            Fault(
                last.file,
                last.line,
                last.column,
                f"and {more} more faults from here on",
                code="faults-more",
                places={"more": more},
            )
        ]
    return (None if faults else deck), tuple(faults)


@dataclass(frozen=True)
class _Shared:
    """What a deck says for all its patterns."""

    meter: str | None = "4/4"  # None: what is written is no meter, so texts cannot be counted
    tempo: Number | None = None
    tempo_range: tuple[Number, Number] | None = None
    swing: object = None


@dataclass
class _Reader:
    text: str
    source: str
    untold: int = 0
    broken: bool = False  # syntax faults hide what would seem missing
    faults: list[Fault] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.places = Places(self.text)

    def read(self, name: str) -> Deck | None:
        if len(self.text) > MAX_CHARACTERS:
            self.fault(
                0,
                f"the file has {len(self.text):,} characters; a deck has at most {MAX_CHARACTERS:,}, "
                "so make several decks of it",
                code="deck-characters",
                places={"length": len(self.text), "most": MAX_CHARACTERS},
            )
            return None
        for number, length in enumerate(map(len, self.text.split("\n"))):
            if length > MAX_LINE:
                self.fault(
                    self.places.starts[number] + MAX_LINE,
                    f"the line has {length:,} characters; at most {MAX_LINE:,} are read, so break it up",
                    code="deck-line-long",
                    places={"length": length, "most": MAX_LINE},
                )
        if self.faults:
            return None
        values, slips = load(self.text)
        for slip in slips:
            self.fault(slip.offset, slip.message, code=slip.code, places=slip.places)
        self.broken = bool(slips)
        if self.broken and not values:
            return None
        found = tables(self.text, self.broken)
        head = found[0]
        self.check_keys(values, head, DECK_KEYS, "a deck")
        title = self.title(values, head, "the deck")
        advice = self.advice(values, head)
        shared = self.shared(values, head)
        signs = self.names(values, head, "signs", FEATURES)
        layers = self.names(values, head, "layers", LAYERS)
        patterns = tuple(self.patterns(values, found, shared))
        if not patterns and not self.faults:
            self.fault(
                len(self.text.rstrip()),
                "the deck has no pattern; write [[pattern]], then its title and text on lines of their own",
                code="deck-without-patterns",
            )
        return Deck(name, title, advice, patterns, self.source, signs, layers)

    def fault(self, offset: int, message: str, *, code: str, places: Named | None = None) -> None:
        if len(self.faults) >= _ENOUGH_FAULTS:
            self.untold += 1
            return
        line, column = self.places.line_column(offset)
        self.faults.append(Fault(self.source, line, column, message, code=code, places=places or {}))

    def check_keys(self, values: dict[str, Any], table: Table, known: tuple[str, ...], what: str) -> None:
        for key in values:
            if key in known:
                continue
            if len(self.faults) >= _ENOUGH_FAULTS:
                self.untold += 1
                continue
            close = get_close_matches(key.lower(), known, 1, 0.6)
            code, hint = "key-unknown", f"{what} has {', '.join(known)}"
            if close:
                code, hint = "key-meant", f"did you mean {close[0]}?"
            if key == "text" and "text" not in known:
                code, hint = (
                    "key-of-pattern",
                    "a text belongs to a pattern; write [[pattern]] on a line before it",
                )
            if key in ("patterns", "Pattern", "Patterns"):
                code, hint = "key-is-heading", "each pattern is headed [[pattern]]"
            self.fault(
                self.key_at(table, key),
                f"{key!r} is not a key of {what}; {hint}",
                code=code,
                places={"key": key, "what": what, "known": known, "meant": close[0] if close else ""},
            )

    def key_at(self, table: Table, key: str) -> int:
        if key in table.entries:
            return table.entries[key].key
        header = re.compile(r"^[ \t]*\[\[?[ \t]*[\"']?" + re.escape(key), re.MULTILINE).search(self.text)
        return header.start() if header and not table.name else table.start

    def value_at(self, table: Table, key: str) -> int:
        return table.entries[key].value if key in table.entries else self.key_at(table, key)

    def string(self, values: dict[str, Any], table: Table, key: str, example: str) -> str | None:
        value = values.get(key)
        if value is None or isinstance(value, str):
            return value
        self.fault(
            self.value_at(table, key),
            f'{key} is {kind_of(value)}; write it as text in quotes, such as {key} = "{example}"',
            code="value-not-text",
            places={"key": key, "kind": kind_of(value), "example": example},
        )
        return None

    def title(self, values: dict[str, Any], table: Table, what: str) -> str:
        title = self.string(values, table, "title", "Morning walk")
        if title is None:
            if "title" not in values and not self.broken:
                self.fault(
                    table.start,
                    f'{what} has no title; write one, such as title = "Morning walk"',
                    code="title-missing",
                    places={"what": what},
                )
            return ""
        at = self.value_at(table, "title")
        if not title.strip():
            self.fault(
                at, 'the title is empty; write one, such as title = "Morning walk"', code="title-empty"
            )
        elif len(title) > MAX_TITLE:
            self.fault(
                at,
                f"the title has {len(title):,} characters; at most {MAX_TITLE} fit on the screen",
                code="title-long",
                places={"length": len(title), "most": MAX_TITLE},
            )
        elif not title.isprintable():
            self.fault(
                at,
                "the title has a line break or a control character in it; write it on one line",
                code="title-control",
            )
        return title.strip()

    def advice(self, values: dict[str, Any], table: Table) -> str:
        advice = self.string(values, table, "advice", "Keep the arm moving.") or ""
        if len(advice) > MAX_ADVICE:
            self.fault(
                self.value_at(table, "advice"),
                f"the advice has {len(advice):,} characters; at most {MAX_ADVICE} fit on the screen",
                code="advice-long",
                places={"length": len(advice), "most": MAX_ADVICE},
            )
        return " ".join(advice.split())

    def shared(self, values: dict[str, Any], table: Table, above: _Shared | None = None) -> _Shared:
        above = above or _Shared()
        meter, tempo, swing = above.meter, above.tempo, above.swing
        written = self.string(values, table, "meter", "4/4")
        if written is not None:
            try:
                Meter.parse(written)
                meter = written
            except PatternError as error:
                self.string_fault(table, "meter", error)
                meter = None
        if "tempo" in values:
            try:
                check_tempo(values["tempo"])
                tempo = values["tempo"]
            except PatternError as error:
                self.fault(
                    self.value_at(table, "tempo"),
                    f"{error.message}; write a bare number, such as 84",
                    code="tempo-not-bare",
                    places={"why": error.code, **error.places},
                )
        if "swing" in values:
            try:
                read_swing(values["swing"])
                swing = values["swing"]
            except PatternError as error:
                at = self.value_at(table, "swing")
                self.fault(at, error.message, code=error.code, places=error.places)
        tempo_range = self.tempo_range(values, table)
        if tempo_range is None:
            tempo_range = above.tempo_range if tempo == above.tempo or above.tempo_range is None else None
            if above.tempo_range is not None and "tempo" in values and tempo is not None:
                low, high = above.tempo_range
                tempo_range = (min(low, tempo), max(high, tempo))
        if "tempo" in values and tempo_range and "tempo_range" in values and tempo is not None:
            low, high = tempo_range
            if not low <= tempo <= high:
                self.fault(
                    self.value_at(table, "tempo"),
                    f"tempo {tempo} is outside its tempo_range of {low} to {high}; move one of them",
                    code="tempo-outside",
                    places={"tempo": tempo, "low": low, "high": high},
                )
        return _Shared(meter, tempo, tempo_range, swing)

    def tempo_range(self, values: dict[str, Any], table: Table) -> tuple[Number, Number] | None:
        if "tempo_range" not in values:
            return None
        value = values["tempo_range"]
        try:
            if not isinstance(value, list) or len(value) != 2:
                kind = kind_of(value)
                raise PatternError(f"tempo_range is {kind}", code="range-kind", places={"kind": kind})
            for number in value:
                check_tempo(number)
            if value[0] > value[1]:
                raise PatternError(
                    f"tempo_range goes down from {value[0]} to {value[1]}",
                    code="range-down",
                    places={"low": value[0], "high": value[1]},
                )
        except PatternError as error:
            self.fault(
                self.value_at(table, "tempo_range"),
                f"{error.message}; write slowest and fastest, such as tempo_range = [60, 110]",
                code="tempo-range",
                places={"why": error.code, **error.places},
            )
            return None
        return value[0], value[1]

    def names(
        self, values: dict[str, Any], table: Table, key: str, known: tuple[str, ...]
    ) -> tuple[str, ...]:
        value = values.get(key, [])
        if isinstance(value, list) and all(isinstance(name, str) for name in value):
            unknown = [name for name in value if name not in known]
            if not unknown:
                return tuple(dict.fromkeys(value))
            self.fault(
                self.value_at(table, key),
                f"{unknown[0]!r} is not one of the {key}; choose from {', '.join(known)}",
                code="name-unknown",
                places={"name": unknown[0], "key": key, "known": known},
            )
        else:
            self.fault(
                self.value_at(table, key),
                f"{key} is {kind_of(value)}, not a list of names; choose from {', '.join(known)}",
                code="names-kind",
                places={"key": key, "kind": kind_of(value), "known": known},
            )
        return ()

    def patterns(
        self, values: dict[str, Any], found: tuple[Table, ...], shared: _Shared
    ) -> Iterator[DeckPattern]:
        head = found[0]
        listed = values.get("pattern", [])
        at = self.value_at(head, "pattern")
        if not isinstance(listed, list) or not all(isinstance(item, dict) for item in listed):
            if isinstance(listed, dict):
                self.fault(
                    at,
                    "pattern is headed [pattern] in single brackets; head each pattern [[pattern]], "
                    "in two brackets",
                    code="pattern-single-brackets",
                )
            else:
                self.fault(
                    at,
                    f"pattern is {kind_of(listed)}; head each pattern [[pattern]], in two brackets",
                    code="pattern-kind",
                    places={"kind": kind_of(listed)},
                )
            return
        if len(listed) > MAX_PATTERNS:
            self.fault(
                0,
                f"the deck has {len(listed):,} patterns; at most {MAX_PATTERNS:,} fit, so make several decks",
                code="deck-patterns",
                places={"patterns": len(listed), "most": MAX_PATTERNS},
            )
            return
        headed = [table for table in found if table.array and table.name == "pattern"]
        if self.broken:  # stretches are read one by one, and reading stops after many faults
            headed = headed[: len(listed)]
        if len(headed) != len(listed):  # written in some other way: say where the list begins
            headed = [Table("pattern", True, at) for _ in listed]
        titles: dict[str, int] = {}
        for item, table in zip(listed, headed, strict=True):
            pattern = self.pattern(item, table, shared)
            title = str(item.get("title", "")).strip().casefold()
            if title and title in titles:
                self.fault(
                    self.value_at(table, "title"),
                    f"line {titles[title]} already has a pattern of this title; give this one its own",
                    code="pattern-title-taken",
                    places={"line": titles[title]},
                )
            elif title:
                titles[title] = self.places.line_column(self.value_at(table, "title"))[0]
            if pattern is not None:
                yield pattern

    def pattern(self, values: dict[str, Any], table: Table, above: _Shared) -> DeckPattern | None:
        self.check_keys(values, table, PATTERN_KEYS, "a pattern")
        title = self.title(values, table, "the pattern")
        advice = self.advice(values, table)
        before = len(self.faults)
        shared = self.shared(values, table, above)
        text = self.string(values, table, "text", "D DU D DU")
        if text is None:
            if "text" not in values and not self.broken:
                self.fault(
                    table.start,
                    'the pattern has no text; write one, such as text = "D DU D DU"',
                    code="pattern-text-missing",
                )
            return None
        if shared.meter is None:
            return None
        tempo = shared.tempo
        if tempo is None:
            tempo = round(sum(map(float, shared.tempo_range)) / 2) if shared.tempo_range else 90
        try:
            pattern = parse(text, shared.meter, tempo, shared.swing)
        except PatternError:
            for error in text_faults(text, shared.meter):
                self.string_fault(table, "text", error)
            return None
        if len(self.faults) > before:
            return None
        if not pattern.strokes:
            self.fault(
                self.value_at(table, "text"),
                "nothing is struck in this pattern; write at least one D",
                code="pattern-unstruck",
            )
        low, high = shared.tempo_range or usual_range(tempo)
        line, _ = self.places.line_column(table.start)
        return DeckPattern(title, pattern, low, high, advice, line)

    def string_fault(self, table: Table, key: str, error: PatternError) -> None:
        """A fault at a line and column within a string value, shown at its place in the file."""
        at = self.value_at(table, key)
        offsets = string_offsets(self.text, at)
        if offsets:
            inner = "".join("\n" if self.text[offset] == "\n" else " " for offset in offsets[:-1])
            start = 0
            for _ in range(error.line - 1):
                start = inner.find("\n", start) + 1
            at = offsets[min(start + error.column - 1, len(offsets) - 1)]
        self.fault(at, error.message, code=error.code, places=error.places)
