"""Writing a pattern on a ruler of its own slots: what a tap makes of a slot, finer and coarser beats, bars.

Every call gives a new pattern. A tap goes on through TAPS and begins again after its end.
"""

from __future__ import annotations

from dataclasses import replace

from drillapp.music import RING, Pattern, Slot
from drillapp.music.pattern import MAX_BARS

from .slot_sheet import Sheet
from .slots import Hand
from .ways import ACCENTED, MUTED, RINGING, SILENT, STRUCK

#: what a tap makes of a slot, in turn; a place that rings on is struck first
TAPS = (RINGING, STRUCK, MUTED, ACCENTED, SILENT)

#: slots of a beat in turn, each finer one next to what it can keep whole
SIMPLE, COMPOUND = (1, 2, 4, 3, 6), (1, 3, 6, 2, 4)


def sheet_of(pattern: Pattern) -> Sheet:
    """The pattern as a sheet that is full."""
    return Sheet(pattern, tuple(place.slot for place in pattern.places))


def tapped(pattern: Pattern, index: int) -> Pattern:
    """The pattern after a tap on a slot.

    >>> from drillapp.music import parse
    >>> tapped(parse("D- D- D- D-"), 1).text, tapped(parse("DU D- D- D-"), 1).text
    ('DU D- D- D-', 'DX D- D- D-')
    """
    sheet = sheet_of(pattern)
    turn = TAPS.index(sheet.way(index) or SILENT) + 1
    return filled(pattern, index, TAPS[turn % len(TAPS)])


def filled(pattern: Pattern, index: int, way: str) -> Pattern:
    """The pattern with a slot filled in one of the ways of TAPS. Raises ValueError for another."""
    return sheet_of(pattern).filled(index, way).pattern


def struck(pattern: Pattern, index: int, hand: Hand) -> Pattern:
    """The pattern with a plain stroke of this hand in a slot.

    >>> from drillapp.music import parse
    >>> struck(parse("D- D- D- D-"), 1, "up").text
    'DU D- D- D-'
    """
    return sheet_of(pattern).struck(index, hand).pattern


def turned(pattern: Pattern, index: int) -> Pattern:
    """The pattern with a stroke in the other direction."""
    return sheet_of(pattern).turned(index).pattern


def divided(pattern: Pattern, index: int, by: int) -> Pattern:
    """The pattern with the next (1) or the last (-1) division of the beat of a slot; as it is at the ends.

    What stands where the new slots still have a place stays; the rest of them ring on.

    >>> from drillapp.music import parse
    >>> divided(parse("DU D D D"), 0, 1).text, divided(parse("D-DU D D D"), 3, -1).text
    ('D-U- D D D', 'DD D D D')
    >>> divided(parse("D-U D--", "6/8"), 0, 1).text
    'D---U- D--'
    """
    place = pattern.places[index]
    turns = COMPOUND if pattern.meter.is_compound(place.beat) else SIMPLE
    turn = turns.index(place.of) + by
    if not 0 <= turn < len(turns):
        return pattern
    of = turns[turn]
    bar = list(pattern.bars[place.bar])
    old = bar[place.beat]
    slots: list[Slot] = []
    for number in range(of):
        before = number * len(old) / of
        slots.append(old[int(before)] if before == int(before) else RING)
    bar[place.beat] = tuple(slots)
    return replace(pattern, bars=(*pattern.bars[: place.bar], tuple(bar), *pattern.bars[place.bar + 1 :]))


def lengthened(pattern: Pattern, bar: int) -> Pattern:
    """The pattern with a bar written once more after itself; as it is where it is full."""
    if len(pattern.bars) >= MAX_BARS:
        return pattern
    return replace(pattern, bars=(*pattern.bars[: bar + 1], pattern.bars[bar], *pattern.bars[bar + 1 :]))


def shortened(pattern: Pattern, bar: int) -> Pattern:
    """The pattern without a bar; the last one stays."""
    if len(pattern.bars) < 2:
        return pattern
    return replace(pattern, bars=(*pattern.bars[:bar], *pattern.bars[bar + 1 :]))
