"""The rows that stand above or below the staff: bow marks, arrows, letters, and counts on their ruler.

Units: staff spaces; y of a row's items from the baseline given, x from the columns. A skip is a dash in
letters and a gap in arrows; the ruler's ticks show where the slots are, long ones on the beats.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from drillapp.music import Pattern, Place, natural_hand
from drillapp.notation.display import Glyph, Item, Line, Text
from drillapp.notation.layout import LinePlan
from drillapp.notation.outlines import cap_height, text_width
from drillapp.notation.smufl import metrics

LETTER_SIZE = 2.7
COUNT_SIZE = 1.8
ARROW_SCALE = 1.25
ARROW_HEIGHT = 2.108 * ARROW_SCALE
BOW_HEIGHT = 2.0
RULER_TO_COUNTS = 0.95
"""From the ruler to the tops of the counts."""
BEAT_TICK, SLOT_TICK = 0.62, 0.36
DASH = "–"
_HINT_SCALE = 0.85
_MUTED_ARROW_SCALE = 0.78
_CROSS_SCALE = 0.46
_HINT_GAP = 0.12


def letter_height() -> float:
    return cap_height("semibold") * LETTER_SIZE


def count_height() -> float:
    return cap_height("semibold") * COUNT_SIZE


def label_widths(pattern: Pattern, layers: Sequence[str], said: Sequence[str]) -> list[float]:
    """For every slot the width of the widest entry that the shown rows have there."""
    widths = [0.0] * len(pattern.places)
    for place in pattern.places:
        width = 0.0
        if "letters" in layers:
            width = text_width(letter(place), "semibold", LETTER_SIZE)
            if _needs_hint(pattern, place):
                width += 2 * (_HINT_GAP + metrics("arrowBlackUp").width * _HINT_SCALE)
        if "counts" in layers:
            width = max(width, text_width(said[place.index], _face(place), COUNT_SIZE))
        if "arrows" in layers and place.struck:
            width = max(width, metrics("arrowBlackDown").width * ARROW_SCALE)
        if "bows" in layers and place.struck:
            width = max(width, metrics("stringsDownBow").width)
        widths[place.index] = width
    return widths


def letter(place: Place) -> str:
    """D, U, X or a dash."""
    if not place.struck:
        return DASH
    if place.slot.muted:
        return "X"
    return "D" if place.slot.hand == "down" else "U"


def letters(pattern: Pattern, line: LinePlan, y: float) -> Iterator[Item]:
    """The letters, baseline at ``y``. An X against the hand's motion has a small arrow beside it."""
    for place in _places(line):
        x = line.xs[place.index]
        text = letter(place)
        yield Text(text, x, y, LETTER_SIZE, "semibold", "middle", place.index, "letters")
        if _needs_hint(pattern, place):
            name = "arrowBlackDown" if place.slot.hand == "down" else "arrowBlackUp"
            left = x + text_width(text, "semibold", LETTER_SIZE) / 2 + _HINT_GAP
            height = metrics(name).box[3] * _HINT_SCALE
            yield Glyph(
                name, left, y + (letter_height() - height) / 2, place.index, "letters", "ink", _HINT_SCALE
            )


def _needs_hint(pattern: Pattern, place: Place) -> bool:
    """Whether a muted stroke goes against the hand's motion, which X alone would not say."""
    if not place.slot.muted:
        return False
    beat = pattern.bars[place.bar][place.beat]
    second_struck = place.number == 2 and beat[1].action == "strike"
    return place.slot.hand != natural_hand(place.number, place.of, second_struck)


def arrows(line: LinePlan, y: float) -> Iterator[Glyph]:
    """An arrow for every stroke, its lower end at ``y``; a muted one is crossed."""
    cross = metrics("noteheadSlashX")
    for place in _places(line):
        if not place.struck:
            continue
        down = place.slot.hand == "down"
        arrow = metrics("arrowBlackDown" if down else "arrowBlackUp")
        x, low, scale = line.xs[place.index], y, ARROW_SCALE
        if place.slot.muted:
            # A shorter arrow with a cross at its tail.
            scale = _MUTED_ARROW_SCALE
            reach = cross.box[3] * _CROSS_SCALE
            middle = y + ARROW_HEIGHT - reach if down else y + reach
            low = y if down else y + ARROW_HEIGHT - arrow.box[3] * scale
            left = x - cross.middle * _CROSS_SCALE
            yield Glyph(cross.name, left, middle, place.index, "arrows", "ink", _CROSS_SCALE)
        yield Glyph(arrow.name, x - arrow.middle * scale, low, place.index, "arrows", "ink", scale)


def bows(line: LinePlan, y: float) -> Iterator[Glyph]:
    """A down-bow or up-bow mark for every stroke, standing on ``y``."""
    for place in _places(line):
        if place.struck:
            mark = metrics("stringsDownBow" if place.slot.hand == "down" else "stringsUpBow")
            yield Glyph(mark.name, line.xs[place.index] - mark.middle, y - mark.box[1], place.index, "bows")


def accents(line: LinePlan, y: float, layer: str) -> Iterator[Glyph]:
    """Accent signs standing on ``y``, for pages without the staff."""
    sign = metrics("articAccentAbove")
    for place in _places(line):
        if place.slot.accent:
            yield Glyph(sign.name, line.xs[place.index] - sign.middle, y, place.index, layer)


def ruler(line: LinePlan, y: float, layer: str) -> Iterator[Line]:
    """A faint line with a tick for each slot, long ones on the beats."""
    yield Line(line.start, y, line.end, y, 0.1, None, layer, "rule")
    for place in _places(line):
        x = line.xs[place.index]
        on_beat = place.number == 0
        tick = BEAT_TICK if on_beat else SLOT_TICK
        yield Line(x, y + 0.05, x, y - tick, 0.12, place.index, layer, "ink" if on_beat else "second")


def counts(line: LinePlan, y: float, said: Sequence[str]) -> Iterator[Text]:
    """The count syllables, baseline at ``y``: beats bold, what is between them quieter."""
    for place in _places(line):
        role = "ink" if place.number == 0 else "second"
        text = said[place.index]
        yield Text(
            text, line.xs[place.index], y, COUNT_SIZE, _face(place), "middle", place.index, "counts", role
        )


def row_barlines(line: LinePlan, bottom: float, top: float, layer: str) -> Iterator[Line]:
    """Where no staff is shown: light barlines through the rows."""
    for x in line.edges[1:-1]:
        yield Line(x, bottom, x, top, 0.13, None, layer, "second")


def _face(place: Place) -> str:
    return "semibold" if place.number == 0 else "regular"


def _places(line: LinePlan) -> Iterator[Place]:
    for bar in line.bars:
        yield from bar.places
