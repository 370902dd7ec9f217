"""A deck while it is being written: plain values, edits that give a new one, faults as one types. Pure."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

from drillapp.music import Meter, Pattern, PatternError, parse
from drillapp.music.deck import Deck, DeckPattern

FIRST_TEXT = "D D D D"


@dataclass(frozen=True)
class Line:
    """A pattern as it is typed; ``read`` is what it last said without a fault."""

    title: str
    text: str
    meter: str
    read: DeckPattern

    @property
    def fault(self) -> str:
        """What is wrong with it and what would be right; empty where nothing is."""
        if not self.title.strip():
            return "The pattern needs a title."
        try:
            self.parsed()
        except PatternError as error:
            return f"Column {error.column}: {str(error).split(': ', 1)[-1]}"
        except ValueError as error:
            return str(error)
        return ""

    def parsed(self) -> Pattern:
        """The pattern that is typed. Raises PatternError or ValueError."""
        known = self.read.pattern
        return parse(self.text, Meter.parse(self.meter.strip()).text, known.tempo, known.swing)

    def typed(self, title: str, text: str, meter: str) -> Line:
        """The line with these words; what it says is read anew where it has no fault."""
        line = replace(self, title=title, text=text, meter=meter)
        if line.fault:
            return line
        return replace(line, read=replace(self.read, title=" ".join(title.split()), pattern=line.parsed()))


@dataclass(frozen=True)
class Draft:
    """A deck being written: ``at`` is the line that is shown."""

    deck: Deck
    title: str
    lines: tuple[Line, ...] = field(default_factory=tuple)
    at: int = 0

    @property
    def fault(self) -> str:
        """The first thing that keeps it from being saved."""
        if not self.title.strip():
            return "The deck needs a title."
        titles: set[str] = set()
        for number, line in enumerate(self.lines, 1):
            if line.fault:
                return f"Pattern {number}: {line.fault}"
            if line.title.casefold().strip() in titles:
                return f"Pattern {number}: another pattern has this title; give it its own."
            titles.add(line.title.casefold().strip())
        return "" if self.lines else "The deck needs a pattern."

    @property
    def line(self) -> Line:
        return self.lines[self.at]

    def as_deck(self) -> Deck:
        """The deck that is written so far, faulty lines as they last were without a fault."""
        return replace(
            self.deck, title=" ".join(self.title.split()), patterns=tuple(line.read for line in self.lines)
        )

    def typed(self, title: str, text: str, meter: str) -> Draft:
        """With the shown line changed."""
        return self._with(self.at, self.line.typed(title, text, meter))

    def at_tempo(self, tempo: float) -> Draft:
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
        """With a new pattern after the shown one."""
        meter = self.line.meter if self.lines else "4/4"
        beats = len(Meter.parse(meter).beats) if self.lines and not self.line.fault else 4
        return self._inserted(_new_line(f"Pattern {len(self.lines) + 1}", " ".join("D" * beats), meter))

    def doubled(self) -> Draft:
        """With the shown pattern again, after itself."""
        title = f"{self.line.title} 2"
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

    def _with(self, at: int, line: Line) -> Draft:
        return replace(self, lines=(*self.lines[:at], line, *self.lines[at + 1 :]))

    def _inserted(self, line: Line) -> Draft:
        at = self.at + 1 if self.lines else 0
        return replace(self, lines=(*self.lines[:at], line, *self.lines[at:]), at=at)


def _new_line(title: str, text: str, meter: str) -> Line:
    pattern = parse(text, meter, 80)
    return Line(title, text, meter, DeckPattern(title, pattern, 60, 110))


def new_draft(path: Path, title: str = "New deck") -> Draft:
    """A deck with one pattern, to be saved at ``path``.

    >>> new_draft(Path("mine.toml")).doubled().lines[1].title
    'Pattern 1 2'
    """
    deck = Deck(path.stem, title, "", (), str(path))
    return Draft(deck, title, (_new_line("Pattern 1", FIRST_TEXT, "4/4"),))


def draft_of(deck: Deck, path: Path | None = None) -> Draft:
    """A deck to be changed; with ``path``, a copy of it to be saved there."""
    copied = deck if path is None else replace(deck, name=path.stem, source=str(path))
    lines = tuple(
        Line(
            one.title, one.pattern.text, one.pattern.meter.text, one if path is None else replace(one, line=0)
        )
        for one in deck.patterns
    )
    return Draft(copied, deck.title if path is None else f"{deck.title}, my own", lines)
