"""Paint display lists as vector PDF, through reportlab.

Units: points (1/72 inch), y up, as in PDF itself. Every glyph and letter is written into the file once, as
a form, and put where it is needed; so the file needs no font. Words are repeated as invisible text, so that
the page can be searched and read aloud.
"""

from __future__ import annotations

from collections.abc import Mapping
from io import BytesIO
from typing import Any

from drillapp.notation.display import Curve, DisplayList, Glyph, Text
from drillapp.notation.painters.svg import INK, MARGIN
from drillapp.notation.shapes import Placed, drawn, placed

MM = 72 / 25.4
PAPERS: Mapping[str, tuple[float, float]] = {"A4": (210 * MM, 297 * MM), "Letter": (8.5 * 72, 11 * 72)}
"""ISO 216 A4 and US Letter (ANSI A), upright, in points."""


class PdfDocument:
    """A PDF being written, page after page; ``bytes`` ends it."""

    def __init__(self, size: tuple[float, float], title: str, subject: str = "") -> None:
        from reportlab.pdfgen.canvas import Canvas

        self.width, self.height = size
        self._file = BytesIO()
        # Invariant: no time of making in the file, so equal sheets are equal files.
        self._canvas = Canvas(self._file, pagesize=size, pageCompression=1, invariant=1, lang="en")
        self._canvas.setTitle(title)
        self._canvas.setSubject(subject)
        self._canvas.setCreator("drillapp")
        self._forms: dict[tuple[str, str], str] = {}

    def scale(self, factor: float) -> None:
        """Draw what follows on this page so much larger, seen from its lower left corner."""
        self._canvas.scale(factor, factor)

    def paint(
        self,
        display: DisplayList,
        x: float,
        y: float,
        space: float,
        colours: Mapping[str, str] | None = None,
    ) -> None:
        """Paint the display list with its lower left corner at (x, y), ``space`` points to a staff space."""
        ink = {**INK, **(colours or {})}
        role = ""
        for item in sorted(display.items, key=lambda item: item.role):
            if item.role != role:
                role = item.role
                self._colour(ink[role])
            if isinstance(item, (Glyph, Text)):
                for shape in placed(item):
                    self._put(shape, x + shape.x * space, y + shape.y * space, shape.unit * space)
            elif isinstance(item, Curve):
                self._curve(item, x, y, space)
            else:
                left, bottom, right, top = (edge * space for edge in item.box)
                self._canvas.rect(x + left, y + bottom, right - left, top - bottom, stroke=0, fill=1)
        if display.title:
            self.hidden_text(display.title, x, y + display.height * space)

    def text(
        self,
        text: str,
        x: float,
        y: float,
        size: float,
        face: str = "regular",
        align: str = "left",
        colour: str = INK["ink"],
    ) -> None:
        """A line of text on the page, its baseline at ``y``; ``size`` in points."""
        item = Text(text, x, y, size, face, align)
        self._colour(colour)
        for shape in placed(item):
            self._put(shape, shape.x, shape.y, shape.unit)
        self.hidden_text(text, item.left, y, size)

    def hidden_text(self, text: str, x: float, y: float, size: float = 8.0) -> None:
        """Words that are not seen but can be searched for and read aloud."""
        line = self._canvas.beginText(x, y)
        line.setTextRenderMode(3)
        line.setFont("Helvetica", size)
        line.textOut(text.encode("cp1252", "replace").decode("cp1252"))
        self._canvas.drawText(line)

    def rule(self, x1: float, x2: float, y: float, thickness: float = 0.5, colour: str = INK["rule"]) -> None:
        """A level line from x1 to x2."""
        self.bar(x1, y - thickness / 2, x2 - x1, thickness, colour)

    def bar(self, x: float, y: float, width: float, height: float, colour: str = INK["ink"]) -> None:
        """A filled rectangle with its lower left corner at (x, y)."""
        self._colour(colour)
        self._canvas.rect(x, y, width, height, stroke=0, fill=1)

    def bookmark(self, key: str, title: str) -> None:
        """An entry of the document's outline that leads to this page."""
        self._canvas.bookmarkPage(key)
        self._canvas.addOutlineEntry(title, key, 0)

    def next_page(self) -> None:
        self._canvas.showPage()

    def bytes(self) -> bytes:
        """The finished file."""
        self._canvas.save()
        return self._file.getvalue()

    def _colour(self, colour: str) -> None:
        text = colour.lstrip("#")
        self._canvas.setFillColorRGB(*(int(text[i : i + 2], 16) / 255 for i in (0, 2, 4)))

    def _put(self, shape: Placed, x: float, y: float, unit: float) -> None:
        canvas = self._canvas
        form = self._forms.get(shape.key)
        if form is None:
            form = self._forms[shape.key] = f"g{len(self._forms)}"
            self._define(form, shape.path)
        canvas.saveState()
        canvas.transform(unit, 0, 0, unit, x, y)
        canvas.doForm(form)
        canvas.restoreState()

    def _define(self, form: str, path: str) -> None:
        self._canvas.beginForm(form, -4000, -4000, 8000, 8000)
        outline = self._canvas.beginPath()
        words = path.split()
        at = 0
        while at < len(words):
            verb = words[at]
            count = {"M": 2, "L": 2, "C": 6, "Z": 0}[verb]
            values = list(map(float, words[at + 1 : at + 1 + count]))
            _draw(outline, verb, values)
            at += 1 + count
        self._canvas.drawPath(outline, stroke=0, fill=1, fillMode=1)
        self._canvas.endForm()

    def _curve(self, item: Curve, x: float, y: float, space: float) -> None:
        outline = self._canvas.beginPath()
        for verb, values in drawn(item):
            moved = [(y if i % 2 else x) + value * space for i, value in enumerate(values)]
            _draw(outline, verb, moved)
        self._canvas.drawPath(outline, stroke=0, fill=1, fillMode=1)


def _draw(outline: Any, verb: str, values: list[float]) -> None:
    if verb == "M":
        outline.moveTo(*values)
    elif verb == "L":
        outline.lineTo(*values)
    elif verb == "C":
        outline.curveTo(*values)
    else:
        outline.close()


def paint(display: DisplayList, *, space: float = 5.0, margin: float = MARGIN) -> bytes:
    """One page just large enough for the display list; ``space``: points of one staff space."""
    size = ((display.width + 2 * margin) * space, (display.height + 2 * margin) * space)
    document = PdfDocument(size, display.title, display.description)
    document.paint(display, margin * space, margin * space, space)
    return document.bytes()
