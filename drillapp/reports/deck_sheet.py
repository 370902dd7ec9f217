"""Printed sheets: one pattern on a page of its own, or a deck as a handout.

Units: points; staff spaces inside a pattern. A pattern that fits half the line shares it with the next.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from drillapp.decks.deck import Deck, DeckPattern
from drillapp.files.writing import write_whole
from drillapp.music import Pattern, check_layers
from drillapp.notation.display import DisplayList
from drillapp.notation.engraver import engrave
from drillapp.notation.marks import tempo_items
from drillapp.notation.outlines import text_width
from drillapp.notation.painters import pdf, png, svg
from drillapp.notation.painters.pdf import MM, PAPERS, PdfDocument

SECOND, INK = svg.INK["second"], svg.INK["ink"]
SPACE = 1.62 * MM
"""A staff space on paper: a five-line staff would be 6.5 mm high, the usual size of printed parts."""
KEY_LAYERS = ("letters", "counts", "staff")
_MARGIN = 16 * MM
_FOOT = 12 * MM
_COLUMN_GAP = 9 * MM
_BLOCK_GAP = 5.5 * MM
_TITLE, _SUBTITLE, _HEADING, _SMALL = 19.0, 9.5, 10.0, 8.5
_NOTES_HEIGHT = 24 * MM
_NATURAL_FOR_HALF = 1.12
"""A pattern may be squeezed by so much to share a line with another."""

Progress = Callable[[int, int], None]


def write_page(pattern: Pattern, path: Path, layers: Iterable[str], **options: Any) -> None:
    """Write one pattern as .svg, .png or .pdf, by the name's ending; ``options`` are those of ``engrave``.

    Raises ValueError for another ending and as ``engrave`` does, OSError where the file cannot be written;
    then nothing is left behind.
    """
    painters: dict[str, Callable[[DisplayList], bytes]] = {
        ".svg": lambda page: svg.paint(page).encode(),
        ".png": lambda page: png.paint(page, ground="#FFFFFF"),
        ".pdf": lambda page: pdf.paint(page),
    }
    painter = painters.get(path.suffix.lower())
    if painter is None:
        raise ValueError(f"{path.name}: a page is written as {', '.join(painters)}; end the name so")
    write_whole(path, painter(engrave(pattern, layers, **options)))


def write_sheet(deck: Deck, path: Path, layers: Iterable[str], **options: Any) -> int:
    """Write a deck as a PDF handout and give its number of pages; ``options`` are those of ``sheet``.

    Raises ValueError as ``sheet`` does, OSError where the file cannot be written;
    then nothing is left behind.
    """
    if path.suffix.lower() != ".pdf":
        raise ValueError(f"{path.name}: a deck's sheet is written as .pdf; end the name so")
    document, pages = _sheet(deck, layers, **options)
    write_whole(path, document)
    return pages


def sheet(deck: Deck, layers: Iterable[str], **options: Any) -> bytes:
    """The deck's handout as the bytes of a PDF file: title, numbered patterns, room for notes, page numbers.

    Options: ``paper`` ("A4" or "Letter"), ``notes`` (room for the teacher's notes; True), ``blank_counts``
    (counts are left for the student to fill in), ``answer_key`` (more pages that show everything), ``names``
    (the set of count syllables), ``progress`` (called with patterns done and their number; what it raises
    stops the work). Raises ValueError for an unknown paper, layer or set of syllables.
    """
    return _sheet(deck, layers, **options)[0]


def _sheet(
    deck: Deck,
    layers: Iterable[str],
    *,
    paper: str = "A4",
    notes: bool = True,
    blank_counts: bool = False,
    answer_key: bool = False,
    names: str = "1 + 2 +",
    progress: Progress | None = None,
) -> tuple[bytes, int]:
    if paper not in PAPERS:
        raise ValueError(f"{paper!r} is not a paper; choose from {', '.join(PAPERS)}")
    shown = check_layers(layers)
    if blank_counts and "counts" not in shown:
        shown = check_layers((*shown, "counts"))
    setter = _Setter(PAPERS[paper], names, _shared_tempo(deck), _has_accents(deck))
    count = len(deck.patterns) * (2 if answer_key else 1)
    done = 0

    def blocks(of: tuple[str, ...], blank: bool) -> list[_Block]:
        nonlocal done
        made = []
        for number, item in enumerate(deck.patterns, 1):
            made.append(setter.block(number, item, of, blank))
            done += 1
            if progress is not None:
                progress(done, count)
        return made

    parts = [
        _Part("", deck.advice, setter.pages(blocks(shown, blank_counts), first_of_document=True, notes=notes))
    ]
    if answer_key:
        made = blocks(check_layers({*shown, *KEY_LAYERS}), False)
        parts.append(_Part("Answer key", "", setter.pages(made, first_of_document=False, notes=False)))
    return _Writer(deck, setter, notes).write(parts)


@dataclass(frozen=True)
class _Block:
    """One pattern of a sheet: its page, its headings, and whether it fits half a line."""

    number: int
    title: str
    advice: tuple[str, ...]
    display: DisplayList
    half: bool

    @property
    def height(self) -> float:
        return _HEADING + 7 + len(self.advice) * (_SMALL + 3) + self.display.height * SPACE


@dataclass(frozen=True)
class _Part:
    """A run of pages: rows of one or two blocks on each."""

    title: str
    advice: str
    pages: list[list[list[_Block]]]


@dataclass(frozen=True)
class _Setter:
    """Sets blocks on pages of one paper."""

    size: tuple[float, float]
    names: str
    tempo: Pattern | None
    """A pattern whose tempo all of them share, which is then written once, in the heading."""
    steady: bool

    @property
    def width(self) -> float:
        return self.size[0] - 2 * _MARGIN

    @property
    def half(self) -> float:
        return (self.width - _COLUMN_GAP) / 2

    def block(self, number: int, item: DeckPattern, layers: tuple[str, ...], blank: bool) -> _Block:
        options: dict[str, Any] = {
            "names": self.names,
            "tempo": self.tempo is None and "staff" in layers,
            "blank_counts": blank,
            "steady": self.steady,
        }
        natural = engrave(item.pattern, layers, **options)
        half = natural.width * SPACE <= self.half * _NATURAL_FOR_HALF
        room = (self.half if half else self.width) / SPACE
        display = engrave(item.pattern, layers, width=room, **options)
        if half and display.width > room * 1.01:
            half, room = False, self.width / SPACE
            display = engrave(item.pattern, layers, width=room, **options)
        advice = wrapped(item.advice, _SMALL, self.half if half else self.width)
        return _Block(number, item.title, advice, display, half)

    def pages(
        self, blocks: list[_Block], *, first_of_document: bool, notes: bool
    ) -> list[list[list[_Block]]]:
        """Rows of blocks, broken into pages."""
        whole = self.size[1] - 2 * _MARGIN - _FOOT - (_NOTES_HEIGHT if notes else 0.0)
        pages: list[list[list[_Block]]] = [[]]
        left = whole - (40 * MM if first_of_document else 14 * MM)
        for row in _rows(blocks):
            height = max(block.height for block in row) + _BLOCK_GAP
            if height > left and pages[-1]:
                pages.append([])
                left = whole - 8 * MM
            pages[-1].append(row)
            left -= height
        return pages


def _shared_tempo(deck: Deck) -> Pattern | None:
    """The first pattern, where every pattern has its tempo and counted note."""
    tempos = {(item.pattern.tempo, item.pattern.meter.unit) for item in deck.patterns}
    return deck.patterns[0].pattern if len(tempos) == 1 else None


def _has_accents(deck: Deck) -> bool:
    return any(stroke.accent for item in deck.patterns for stroke in item.pattern.strokes)


def _rows(blocks: Iterable[_Block]) -> Iterator[list[_Block]]:
    row: list[_Block] = []
    for block in blocks:
        if row and not (row[0].half and block.half and len(row) == 1):
            yield row
            row = []
        row.append(block)
        if not block.half:
            yield row
            row = []
    if row:
        yield row


class _Writer:
    """Writes set pages into one document."""

    def __init__(self, deck: Deck, setter: _Setter, notes: bool) -> None:
        self.deck, self.setter, self.notes = deck, setter, notes
        self.document = PdfDocument(setter.size, deck.title, f"{len(deck.patterns)} strum patterns")
        self.left, self.right = _MARGIN, setter.size[0] - _MARGIN

    def write(self, parts: list[_Part]) -> tuple[bytes, int]:
        total = sum(len(part.pages) for part in parts)
        number = 0
        for part in parts:
            for first, page in zip([True] + [False] * len(part.pages), part.pages, strict=False):
                number += 1
                self._page(part, page, first, number, total)
                self.document.next_page()
        return self.document.bytes(), total

    def _page(self, part: _Part, rows: list[list[_Block]], first: bool, number: int, total: int) -> None:
        y = self.setter.size[1] - _MARGIN
        if first and not part.title:
            y = self._title(part, y)
        elif first:
            self.document.bookmark(f"part-{number}", part.title)
            self.document.text(part.title, self.left, y - 12, 14, "semibold")
            y -= 14 * MM
        else:
            self.document.text(self._running_head(part), self.left, y - 6, _SMALL, colour=SECOND)
            y -= 8 * MM
        for row in rows:
            for column, block in enumerate(row):
                self._block(block, self.left + column * (self.setter.half + _COLUMN_GAP), y)
            y -= max(block.height for block in row) + _BLOCK_GAP
        if self.notes and not part.title:
            self._notes()
        self._foot(number, total)

    def _running_head(self, part: _Part) -> str:
        return f"{self.deck.title} · {part.title}" if part.title else self.deck.title

    def _title(self, part: _Part, y: float) -> float:
        document = self.document
        document.bookmark("title", self.deck.title)
        size = min(
            _TITLE,
            _TITLE * (self.setter.width - 24 * MM) / max(text_width(self.deck.title, "semibold", _TITLE), 1),
        )
        document.text(self.deck.title, self.left, y - size * 0.75, size, "semibold")
        if self.setter.tempo is not None:
            self._tempo(self.setter.tempo, y - size * 0.75)
        y -= size + 9
        for line in wrapped(part.advice, _SUBTITLE, self.setter.width)[:3]:
            document.text(line, self.left, y - _SUBTITLE * 0.75, _SUBTITLE, colour=SECOND)
            y -= _SUBTITLE + 4
        y -= 11
        middle = self.left + self.setter.width * 0.62
        for label, start, end in (("Name", self.left, middle - 5 * MM), ("Date", middle, self.right)):
            document.text(label, start, y, _SMALL, colour=SECOND)
            document.rule(start + text_width(label, "regular", _SMALL) + 4, end, y - 1, colour=SECOND)
        return y - 9 * MM

    def _tempo(self, pattern: Pattern, y: float) -> None:
        items = tempo_items(pattern)
        width = max(item.box[2] for item in items)
        mark = DisplayList(items, width, 3.0, (), (), ("staff",))
        self.document.paint(mark, self.right - width * SPACE, y, SPACE)

    def _block(self, block: _Block, x: float, y: float) -> None:
        document = self.document
        y -= _HEADING
        number = f"{block.number}"
        document.text(number, x, y, _HEADING, "semibold")
        after = x + text_width(number, "semibold", _HEADING) + 7
        document.text(block.title, after, y, _HEADING, colour=INK)
        y -= 7
        for line in block.advice:
            y -= _SMALL + 3
            document.text(line, x, y + 2, _SMALL, colour=SECOND)
        document.paint(block.display, x, y - block.display.height * SPACE, SPACE)

    def _notes(self) -> None:
        top = _MARGIN + _FOOT + _NOTES_HEIGHT - 4 * MM
        self.document.text("Notes", self.left, top, _SMALL, colour=SECOND)
        for line in range(3):
            start = self.left + (12 * MM if line == 0 else 0)
            self.document.rule(start, self.right, top - 1 - line * 8 * MM, 0.5)

    def _foot(self, number: int, total: int) -> None:
        y = _MARGIN
        self.document.text(f"{number} of {total}", self.right, y, _SMALL, align="right", colour=SECOND)


def wrapped(text: str, size: float, width: float, face: str = "regular") -> tuple[str, ...]:
    """The text in lines no wider than ``width``; a word that is wider has a line of its own."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, face, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)
