"""A report as a PDF, set by us and painted by the project's own painter, so that it needs no font.

Units: points. A part is made of strips, which are never cut in two; a table's head stands again on each page.
Where two parts stand beside each other, the pages of notation that find no room there are left out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from drillapp.notation.display import DisplayList
from drillapp.notation.outlines import text_width
from drillapp.notation.own_sign import SIGNS, sign_page
from drillapp.notation.painters.pdf import MM, PAPERS, PdfDocument
from drillapp.notation.painters.svg import INK
from drillapp.words import reports as words

from .deck_sheet import wrapped
from .page import Cell, Column, Figures, Page, Part, Table

_MARGIN, _COLUMN_GAP, _PART_GAP = 13 * MM, 8 * MM, 9.0
_TITLE, _FINDING, _HEADING, _TEXT, _SMALL, _NOTE = 18.0, 10.5, 9.5, 8.8, 7.6, 7.0
_LEADING, _PAD = 1.22, 1.7
_SIGN_ROOM, _SIGN_HIGH, _INSIDE = 17.0, 8.5, 4.0
_SPACE = 1.25 * MM
_SCALES = (1.2, 1.1, 1.0, 0.9, 0.82)
"""Sizes tried, the largest first, until the report fits one sheet; where none does, it takes several."""
SECOND, RULE = INK["second"], INK["rule"]

Draw = Callable[[PdfDocument, float, float], None]


@dataclass(frozen=True)
class _Strip:
    """Something set: its height, and what draws it with its upper left corner at (x, y)."""

    height: float
    draw: Draw


@dataclass(frozen=True)
class _Set:
    """A part set at one width: its strips, and the head that stands again where it goes on."""

    head: tuple[_Strip, ...]
    body: tuple[_Strip, ...]

    @property
    def height(self) -> float:
        return sum(one.height for one in (*self.head, *self.body))


def pdf(page: Page, paper: str = "A4") -> bytes:
    """The report as the bytes of a PDF file."""
    return set_page(page, paper)[0]


def set_page(page: Page, paper: str = "A4") -> tuple[bytes, int]:
    """The bytes, and how many sheets it takes. Raises KeyError for an unknown paper."""
    wide, high = PAPERS[paper]
    size = (high, wide) if page.lying else (wide, high)
    tries = (_laid_out(page, size, scale) for scale in _SCALES)
    setter = next((one for one in tries if len(one.sheets) == 1), None) or _laid_out(page, size, 1.0)
    return setter.document(page.title), len(setter.sheets)


def _laid_out(page: Page, size: tuple[float, float], scale: float) -> _Setter:
    setter = _Setter(size, scale)
    setter.put(_head(page, setter.width))
    for row in page.rows:
        if len(row) == 1:
            setter.put(_part(row[0], setter.width))
        else:
            setter.put_beside(row)
    return setter


class _Setter:
    """Puts strips on sheets, from the top down; all lengths are before the scale."""

    def __init__(self, paper: tuple[float, float], scale: float) -> None:
        self.paper, self.scale = paper, scale
        self.size = paper[0] / scale, paper[1] / scale
        self.width = self.size[0] - 2 * _MARGIN
        self.sheets: list[list[tuple[float, float, Draw]]] = [[]]
        self._y = self.size[1] - _MARGIN

    @property
    def left(self) -> float:
        """Height that is left on this sheet."""
        return self._y - _MARGIN

    def put(self, part: _Set) -> None:
        start = sum(one.height for one in part.head) + sum(one.height for one in part.body[:1])
        if start > self.left:
            self._next()
        for one in part.head:
            self._add(one, _MARGIN)
        for one in part.body:
            if one.height > self.left:
                self._next()
                for again in part.head:
                    self._add(again, _MARGIN)
            self._add(one, _MARGIN)
        self._y -= _PART_GAP

    def put_beside(self, parts: Sequence[Part]) -> None:
        wide = (self.width - _COLUMN_GAP * (len(parts) - 1)) / len(parts)
        found = [_part(one, wide) for one in parts]
        if (
            max(one.height for one, part in zip(found, parts, strict=True) if not _may_shrink(part))
            > self.left
        ):
            self._next()
        top = lowest = self._y
        for number, (one, part) in enumerate(zip(found, parts, strict=True)):
            self._y = top
            for strip in (*one.head, *one.body):
                if strip.height > self.left and _may_shrink(part):
                    break
                self._add(strip, _MARGIN + number * (wide + _COLUMN_GAP))
            lowest = min(lowest, self._y)
        self._y = lowest - _PART_GAP

    def document(self, title: str) -> bytes:
        made = PdfDocument(self.paper, title)
        for number, sheet in enumerate(self.sheets, 1):
            made.scale(self.scale)
            for x, y, draw in sheet:
                draw(made, x, y)
            if len(self.sheets) > 1:
                said = words.sheet_number(number, len(self.sheets))
                made.text(said, self.size[0] - _MARGIN, _MARGIN - 14, _NOTE, align="right", colour=SECOND)
            made.next_page()
        return made.bytes()

    def _add(self, strip: _Strip, x: float) -> None:
        self.sheets[-1].append((x, self._y, strip.draw))
        self._y -= strip.height

    def _next(self) -> None:
        if self.sheets[-1]:
            self.sheets.append([])
        self._y = self.size[1] - _MARGIN


def _may_shrink(part: Part) -> bool:
    return isinstance(part, Figures)


def _head(page: Page, width: float) -> _Set:
    size = min(_TITLE, _TITLE * width / max(1.0, text_width(page.title, "semibold", _TITLE)))
    strips = [_line(page.title, size, "semibold", after=3)]
    strips += _lines(page.about, _NOTE, width, colour=SECOND)
    strips.append(_Strip(7, lambda to, x, y: to.rule(x, x + width, y - 3, 1.1, INK["ink"])))
    found = wrapped(page.finding, _FINDING, width - 9, "semibold")
    tall = len(found) * _FINDING * _LEADING + 4

    def finding(to: PdfDocument, x: float, y: float) -> None:
        to.bar(x, y - tall + 3, 3.2, tall - 4)
        for number, line in enumerate(found):
            to.text(line, x + 9, y - 1 - _FINDING * (0.8 + number * _LEADING), _FINDING, "semibold")

    return _Set((), (*strips, _Strip(tall, finding)))


def _part(part: Part, width: float) -> _Set:
    if isinstance(part, Table):
        return _table(part, width)
    heading = (_line(part.heading, _HEADING, "semibold", after=2.5),) if part.heading else ()
    if isinstance(part, Figures):
        return _Set(heading, tuple(_figure(said, notation, width) for said, notation in part.pages))
    return _Set((), (*heading, *(strip for line in part.lines for strip in _lines(line, _TEXT, width))))


def _line(
    text: str, size: float, face: str = "regular", colour: str = INK["ink"], after: float = 0
) -> _Strip:
    def draw(to: PdfDocument, x: float, y: float) -> None:
        to.text(text, x, y - size * 0.82, size, face, colour=colour)

    return _Strip(size * _LEADING + after, draw)


def _lines(text: str, size: float, width: float, colour: str = INK["ink"]) -> list[_Strip]:
    return [_line(line, size, colour=colour) for line in wrapped(text, size, width)]


def _figure(said: str, notation: DisplayList, width: float) -> _Strip:
    space = min(_SPACE, width / notation.width)
    tall = notation.height * space

    def draw(to: PdfDocument, x: float, y: float) -> None:
        to.paint(notation, x, y - tall, space)
        to.text(said, x, y - tall - _SMALL, _SMALL, colour=SECOND)

    return _Strip(tall + 2 * _SMALL + 3, draw)


def _table(table: Table, width: float) -> _Set:
    whole = sum(column.width for column in table.columns)
    wide = [width * column.width / whole for column in table.columns]
    # Bars of one column begin and end alike: the words beside them have the room of the longest.
    beside = [
        max(
            (text_width(row[at].text, _face(row[at]), _SMALL) for row in table.rows if row[at].drawing),
            default=0,
        )
        for at in range(len(wide))
    ]
    head = (_line(table.heading, _HEADING, "semibold", after=2), _heads(table.columns, wide, width))
    body = [_cells(row, table.columns, wide, beside, width) for row in table.rows]
    if table.note:
        body.append(_Strip(2, lambda to, x, y: None))
        body += _lines(table.note, _NOTE, width, colour=SECOND)
    return _Set(head, tuple(body))


def _face(cell: Cell) -> str:
    return "semibold" if cell.strong else "regular"


def _heads(columns: Sequence[Column], wide: Sequence[float], width: float) -> _Strip:
    lines = [
        wrapped(column.head, _NOTE, one - _INSIDE, "semibold")
        for column, one in zip(columns, wide, strict=True)
    ]
    drawn = any(column.sign for column in columns)
    leading = _NOTE * 1.12
    tall = max(map(len, lines)) * leading + 4 + (_SIGN_HIGH + 3 if drawn else 0)

    def draw(to: PdfDocument, x: float, y: float) -> None:
        left = x
        for column, said, one in zip(columns, lines, wide, strict=True):
            first = y - tall + 4.5 + (len(said) - 1) * leading
            for number, line in enumerate(said):
                _put(to, line, left, one, first - number * leading, _NOTE, "semibold", column.align)
            if column.sign in SIGNS:
                _sign(to, column.sign, left, y - 1 - _SIGN_HIGH / 2)
            left += one
        to.rule(x, x + width, y - tall + 1, 0.8, INK["ink"])

    return _Strip(tall, draw)


def _cells(
    row: Sequence[Cell],
    columns: Sequence[Column],
    wide: Sequence[float],
    beside: Sequence[float],
    width: float,
) -> _Strip:
    lines, bars = [], []
    for cell, one, said in zip(row, wide, beside, strict=True):
        room = one - _INSIDE - (_SIGN_ROOM if cell.sign else 0)
        lines.append(wrapped(cell.text, _SMALL, said + 1 if cell.drawing else room, _face(cell)))
        bars.append(room - (said + 3 if said else 0))
    heights = [len(one) * _SMALL * _LEADING for one in lines]
    for cell, bar in zip(row, bars, strict=True):
        if cell.drawing is not None:
            heights.append(cell.drawing.height * bar / cell.drawing.width)
    tall = max(heights) + 2 * _PAD

    def draw(to: PdfDocument, x: float, y: float) -> None:
        left, centre = x, y - tall / 2
        for cell, column, one, said, bar in zip(row, columns, wide, lines, bars, strict=True):
            start, room = left, one
            if cell.sign in SIGNS:
                _sign(to, cell.sign, left, centre)
            if cell.sign:
                start, room = left + _SIGN_ROOM, one - _SIGN_ROOM
            if cell.drawing is not None:
                space = bar / cell.drawing.width
                to.paint(cell.drawing, start, centre - cell.drawing.height * space / 2, space)
                start, room = start + bar + 3, room - bar - 3
            first = centre + len(said) * _SMALL * _LEADING / 2 - _SMALL * 0.95
            for number, line in enumerate(said):
                at = first - number * _SMALL * _LEADING
                _put(to, line, start, room, at, _SMALL, _face(cell), column.align)
            left += one
        to.rule(x, x + width, y - tall, 0.4)

    return _Strip(tall, draw)


def _put(
    to: PdfDocument, line: str, left: float, room: float, y: float, size: float, face: str, align: str
) -> None:
    x = {"left": left, "middle": left + (room - _INSIDE) / 2, "right": left + room - _INSIDE}[align]
    to.text(line, x, y, size, face, align)


def _sign(to: PdfDocument, feature: str, x: float, centre: float) -> None:
    page = sign_page(feature)
    space = min(3.6, (_SIGN_ROOM - 4) / page.width, _SIGN_HIGH / page.height)
    to.paint(page, x, centre - page.height * space / 2, space)
