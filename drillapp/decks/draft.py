"""A deck while it is being written: plain values, edits that give a new one, faults as one types. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from drillapp.decks.deck import MAX_PATTERNS, MAX_TITLE, Deck, DeckPattern
from drillapp.decks.faults import text_faults
from drillapp.music import Meter, Pattern, PatternError, parse
from drillapp.music.ruler import divided, filled, lengthened, shortened, struck, tapped, turned
from drillapp.music.slots import Hand, Number
from drillapp.music.text import read_swing

FIRST_BEAT = "D-"


@dataclass(frozen=True)
class TypedPattern:
    """A pattern as it is typed; ``read`` is what it last said without a fault.

    What it says is read once, since a list of hundreds asks each of them again at every letter typed.
    """

    title: str
    text: str
    meter: str
    swing: str
    read: DeckPattern

    @cached_property
    def fault(self) -> str:
        """What is wrong with it, where, and what would be right; empty where nothing is."""
        return _title_fault(self.title, "pattern") or self.text_fault

    @cached_property
    def text_fault(self) -> str:
        """What is wrong with its music; empty where nothing is."""
        if self._as_read and self.read.pattern.strokes:
            return ""
        try:
            meter = Meter.parse(self.meter.strip()).text
            read_swing(self.swing.strip())
        except PatternError as error:
            return _sentence(error.message)
        faults = text_faults(self.text, meter)
        if faults:
            first, more = faults[0], len(faults) - 1
            where = f"Line {first.line}, column" if "\n" in self.text else "Column"
            rest = f" And {more} more fault{'s' if more > 1 else ''}." if more else ""
            return f"{where} {first.column}: {_sentence(first.message, first.message[:1])}{rest}"
        if not self.parsed().strokes:
            return "Nothing is struck in this pattern; write at least one D."
        return ""

    @cached_property
    def shown(self) -> Pattern:
        """What the text says, or last said where it cannot be read."""
        if self._as_read:
            return self.read.pattern
        try:
            return self.parsed()
        except PatternError:
            return self.read.pattern

    @cached_property
    def readable(self) -> bool:
        """Whether the text can be read, so that the ruler shows what it says."""
        try:
            self.parsed()
        except PatternError:
            return False
        return True

    @property
    def _as_read(self) -> bool:
        known = self.read.pattern
        return (self.text, self.meter, self.swing) == (known.text, known.meter.text, _swing_text(known))

    def parsed(self) -> Pattern:
        """The pattern that is typed. Raises PatternError."""
        meter = Meter.parse(self.meter.strip()).text
        return parse(self.text, meter, self.read.pattern.tempo, self.swing.strip() or None)

    def typed(self, title: str, text: str, meter: str, swing: str = "") -> TypedPattern:
        """The line with these words; what it says is read anew where it has no fault."""
        line = replace(self, title=title, text=text, meter=meter, swing=swing)
        if not _title_fault(title, "pattern"):
            line = replace(line, read=replace(line.read, title=" ".join(title.split())))
        if not line.text_fault:
            line = replace(line, read=replace(line.read, pattern=line.parsed()))
        return line

    def written(self, pattern: Pattern) -> TypedPattern:
        """The line with its text written anew."""
        return self.typed(self.title, pattern.text, self.meter, self.swing)


@dataclass(frozen=True)
class Draft:
    """A deck being written: ``at`` is the line that is shown; ``taken`` the titles of the other decks."""

    deck: Deck
    title: str
    lines: tuple[TypedPattern, ...] = field(default_factory=tuple)
    at: int = 0
    taken: frozenset[str] = frozenset()

    @property
    def title_fault(self) -> str:
        """What is wrong with the deck's title; empty where nothing is."""
        if " ".join(self.title.split()).casefold() in self.taken:
            return "Another deck has this title; give this one its own."
        return _title_fault(self.title, "deck")

    @property
    def fault(self) -> str:
        """The first thing that keeps it from being saved."""
        if self.title_fault:
            return self.title_fault
        titles: set[str] = set()
        for number, line in enumerate(self.lines, 1):
            if line.fault:
                return f"Pattern {number}: {line.fault}"
            if line.title.casefold().strip() in titles:
                return f"Pattern {number}: another pattern has this title; give it its own."
            titles.add(line.title.casefold().strip())
        return "" if self.lines else "The deck needs a pattern."

    @property
    def line(self) -> TypedPattern:
        return self.lines[self.at]

    def as_deck(self) -> Deck:
        """A deck that can be kept: what is faulty as it last was without a fault, titles made distinct."""
        title = self.deck.title if _title_fault(self.title, "deck") else " ".join(self.title.split())
        patterns: list[DeckPattern] = []
        taken: set[str] = set()
        for line in self.lines:
            one = replace(line.read, title=free_title(line.read.title, taken))
            taken.add(one.title.casefold())
            patterns.append(one)
        return replace(self.deck, title=title, patterns=tuple(patterns))

    def tapped(self, index: int) -> Draft:
        """With the shown line's slot filled in the next way."""
        return self._written(tapped(self.line.shown, index))

    def filled(self, index: int, way: str) -> Draft:
        return self._written(filled(self.line.shown, index, way))

    def struck(self, index: int, hand: Hand) -> Draft:
        return self._written(struck(self.line.shown, index, hand))

    def turned(self, index: int) -> Draft:
        """With the shown line's stroke in the other direction."""
        return self._written(turned(self.line.shown, index))

    def divided(self, index: int, by: int) -> Draft:
        """With another division of the beat that a slot is in."""
        return self._written(divided(self.line.shown, index, by))

    def lengthened(self, bar: int) -> Draft:
        return self._written(lengthened(self.line.shown, bar))

    def shortened(self, bar: int) -> Draft:
        return self._written(shortened(self.line.shown, bar))

    def _written(self, pattern: Pattern) -> Draft:
        if not self.line.readable or pattern == self.line.shown:
            return self
        return self._with(self.at, self.line.written(pattern))

    def typed(self, title: str, text: str, meter: str, swing: str = "") -> Draft:
        """With the shown line changed."""
        return self._with(self.at, self.line.typed(title, text, meter, swing))

    def at_tempo(self, tempo: Number) -> Draft:
        """With the shown line at another tempo; its range widens where it must."""
        known = self.line.read
        read = replace(
            known,
            pattern=known.pattern.at_tempo(tempo),
            tempo_low=min(known.tempo_low, tempo),
            tempo_high=max(known.tempo_high, tempo),
        )
        return self._with(self.at, replace(self.line, read=read))

    def added(self) -> Draft:
        """With a new pattern after the shown one, in its meter."""
        meter = self.line.read.pattern.meter.text
        return self._inserted(_new_line(self._free(f"Pattern {len(self.lines) + 1}"), meter))

    def doubled(self) -> Draft:
        """With the shown pattern again, after itself."""
        title = self._free(self.line.title)
        return self._inserted(
            replace(self.line, title=title, read=replace(self.line.read, title=title, line=0))
        )

    def deleted(self) -> Draft:
        """Without the shown pattern; the last one stays."""
        if len(self.lines) < 2:
            return self
        lines = self.lines[: self.at] + self.lines[self.at + 1 :]
        return replace(self, lines=lines, at=min(self.at, len(lines) - 1))

    def moved(self, by: int) -> Draft:
        """With the shown pattern moved up (-1) or down (1)."""
        there = self.at + by
        if not 0 <= there < len(self.lines):
            return self
        lines = list(self.lines)
        lines[self.at], lines[there] = lines[there], lines[self.at]
        return replace(self, lines=tuple(lines), at=there)

    def _with(self, at: int, line: TypedPattern) -> Draft:
        return replace(self, lines=(*self.lines[:at], line, *self.lines[at + 1 :]))

    def _inserted(self, line: TypedPattern) -> Draft:
        if len(self.lines) >= MAX_PATTERNS:
            return self
        at = self.at + 1
        return replace(self, lines=(*self.lines[:at], line, *self.lines[at:]), at=at)

    def _free(self, title: str) -> str:
        return free_title(title, {line.title.casefold() for line in self.lines})


def free_title(title: str, taken: Collection[str]) -> str:
    """The title, with a number where it is among ``taken`` (casefolded).

    >>> free_title("Steps", {"steps", "steps 2"})
    'Steps 3'
    """
    number, free = 1, title
    while free.casefold() in taken:
        number += 1
        ending = f" {number}"
        free = title[: MAX_TITLE - len(ending)] + ending
    return free


def new_draft(path: Path, beside: Iterable[Deck] = ()) -> Draft:
    """A deck with one pattern, to be saved at ``path``; ``beside``: the decks that there are.

    >>> new_draft(Path("mine.toml")).doubled().lines[1].title
    'Pattern 1 2'
    """
    taken = frozenset(other.title.casefold() for other in beside)
    title = free_title("New deck", taken)
    return Draft(Deck(path.stem, title, "", (), str(path)), title, (_new_line("Pattern 1", "4/4"),), 0, taken)


def draft_of(deck: Deck, path: Path | None = None, beside: Iterable[Deck] = ()) -> Draft:
    """A deck to be changed; with ``path``, a copy of it to be saved there; ``beside``: all decks."""
    known = list(beside)
    others = [other for other in known if path is not None or other.name != deck.name]
    taken = frozenset(other.title.casefold() for other in others)
    # A draft has lines of its own file: comments stay with the patterns of the saved file by their titles.
    saved = [other for other in known if path is None and other.name == deck.name]
    places = {one.title.casefold(): one.line for other in saved for one in other.patterns}
    lines = tuple(_line_of(replace(one, line=places.get(one.title.casefold(), 0))) for one in deck.patterns)
    if path is None:
        return Draft(deck, deck.title, lines, 0, taken)
    title = free_title(f"{deck.title[: MAX_TITLE - 10]}, my own", taken)
    return Draft(replace(deck, name=path.stem, title=title, source=str(path)), title, lines, 0, taken)


def _line_of(one: DeckPattern) -> TypedPattern:
    music = one.pattern
    return TypedPattern(one.title, music.text, music.meter.text, _swing_text(music), one)


def _swing_text(pattern: Pattern) -> str:
    swing = pattern.swing
    return "" if swing is None else f"{swing.numerator}:{swing.denominator}"


def _new_line(title: str, meter: str) -> TypedPattern:
    beats = Meter.parse(meter).beats
    compound = Meter.parse(meter).is_compound
    text = " ".join(FIRST_BEAT + "-" * compound(beat) for beat in range(len(beats)))
    return _line_of(DeckPattern(title, parse(text, meter, 80), 60, 110))


def _title_fault(title: str, what: str) -> str:
    if not title.strip():
        return f"The {what} needs a title."
    if len(title) > MAX_TITLE:
        return f"The title has {len(title)} characters; at most {MAX_TITLE} fit on the screen."
    return "" if title.isprintable() else "The title has a control character in it; write it on one line."


def _sentence(message: str, begins: str = "") -> str:
    end = "" if message.endswith(".") else "."
    return (begins or message[:1].upper()) + message[1:] + end
