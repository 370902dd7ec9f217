"""How the rhythm staff writes a pattern: note values, ties, dots, tuplets and rests.

Rules (E. Gould, Behind Bars, 2011; G. Read, Music Notation, 2nd ed. 1979; both from memory):
a note that hides a beat is split there and tied, unless it starts on a beat or is the middle of an
eighth-quarter-eighth within half a bar; nothing crosses the middle of a 4/4 bar but a whole note, a
dotted half on 1 and the half of quarter-half-quarter; rests show every beat, may fill half a bar, and
are dotted only in compound meters or below the beat; a silent bar has a whole-bar rest.
Times are Fractions of a quarter from the start of the pattern.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from .meter import Meter
from .pattern import Pattern, Stroke

_VALUES = tuple(Fraction(8, 2**n) for n in range(9))


@dataclass(frozen=True)
class Tuplet:
    """``actual`` notes in the time of ``normal``, over ``length`` quarters from ``at``."""

    actual: int
    normal: int
    at: Fraction
    length: Fraction


@dataclass(frozen=True)
class Note:
    """One written note or rest.

    ``at`` and ``length`` are real time in quarters; ``value`` is the notehead's own in quarters (4 whole,
    2 half, 1 quarter, 1/2 eighth ...) before dots and tuplet. ``stroke`` is None for a rest.
    ``tied_from``: a tie arrives here, so it is not struck again. ``tied_to``: a tie leaves here.
    """

    at: Fraction
    length: Fraction
    value: Fraction
    dots: int = 0
    tuplet: Tuplet | None = None
    stroke: Stroke | None = None
    tied_from: bool = False
    tied_to: bool = False


@dataclass(frozen=True)
class _Span:
    """A stretch of one bar that one stroke sounds through, or that is silent; times from the barline."""

    start: Fraction
    end: Fraction
    stroke: Stroke | None


@lru_cache(maxsize=128)
def notes(pattern: Pattern) -> tuple[tuple[Note, ...], ...]:
    """The notes and rests of each bar, in order; their lengths add up to the bar exactly."""
    return tuple(_bar_notes(pattern, number) for number in range(len(pattern.bars)))


def _bar_notes(pattern: Pattern, bar: int) -> tuple[Note, ...]:
    begin = pattern.meter.length * bar
    spans = _spans(pattern, begin)
    if len(spans) == 1 and spans[0].stroke is None:
        return (Note(begin, pattern.meter.length, Fraction(4)),)
    divisions = tuple(len(beat) for beat in pattern.bars[bar])
    shape = tuple((span.start, span.end, span.stroke is not None) for span in spans)
    written: list[Note] = []
    for span, pieces in zip(spans, _spell(pattern.meter, divisions, shape), strict=True):
        for number, piece in enumerate(pieces):
            tied_from = tied_to = False
            if span.stroke is not None:
                reaches = span.stroke.at + span.stroke.length
                tied_from = number > 0 or span.stroke.at < begin + span.start
                tied_to = number < len(pieces) - 1 or reaches > begin + span.end
            tuplet = piece.tuplet and replace(piece.tuplet, at=begin + piece.tuplet.at)
            written.append(
                Note(
                    begin + piece.start,
                    piece.end - piece.start,
                    piece.value,
                    piece.dots,
                    tuplet,
                    span.stroke,
                    tied_from,
                    tied_to,
                )
            )
    return tuple(written)


@dataclass(frozen=True)
class _Piece:
    """One notehead's stretch of a span, and how it is written; times from the barline."""

    start: Fraction
    end: Fraction
    value: Fraction
    dots: int
    tuplet: Tuplet | None


_Shape = tuple[tuple[Fraction, Fraction, bool], ...]


@lru_cache(maxsize=768)
def _spell(meter: Meter, divisions: tuple[int, ...], shape: _Shape) -> tuple[tuple[_Piece, ...], ...]:
    """The pieces of each span (start, end, sounding) of a bar, which is all that the rules look at."""
    speller = _Speller(
        meter, divisions, frozenset((start, end) for start, end, sounding in shape if sounding)
    )
    return tuple(
        tuple(speller.written(*piece) for piece in speller.pieces(start, end, not sounding))
        for start, end, sounding in shape
    )


def _spans(pattern: Pattern, begin: Fraction) -> list[_Span]:
    end = begin + pattern.meter.length
    spans: list[_Span] = []
    reached = begin
    for stroke in pattern.strokes:
        first, last = max(stroke.at, begin), min(stroke.at + stroke.length, end)
        if first >= last:
            continue
        if first > reached:
            spans.append(_Span(reached - begin, first - begin, None))
        spans.append(_Span(first - begin, last - begin, stroke))
        reached = last
    if reached < end:
        spans.append(_Span(reached - begin, end - begin, None))
    return spans


class _Speller:
    """Splits the spans of one bar at the places that must be seen."""

    def __init__(
        self, meter: Meter, divisions: tuple[int, ...], sounding: frozenset[tuple[Fraction, Fraction]]
    ) -> None:
        self.meter = meter
        self.divisions = divisions
        self.sounding = sounding
        ends = (*meter.starts, meter.length)
        self.beats = tuple(pairwise(ends))
        self.additive = meter.is_additive and meter.denominator >= 8
        marks = [ends[k] for k in (range(len(self.beats)) if self.additive else meter.strong)]
        self.joints = (*marks, meter.length)  # where groups of beats begin

    def pieces(self, start: Fraction, end: Fraction, rest: bool) -> Iterator[tuple[Fraction, Fraction]]:
        if not rest and self._may_cross(start, end):
            yield start, end
            return
        for joint in self.joints:
            if start < joint < end:
                yield from self._in_group(start, joint, rest)
                start = joint
        yield from self._in_group(start, end, rest)

    def written(self, start: Fraction, end: Fraction) -> _Piece:
        tuplet = self._tuplet(start, end)
        length = end - start
        if tuplet is not None:
            length = length * tuplet.actual / tuplet.normal
        value, dots = _plain(length)
        return _Piece(start, end, value, dots, tuplet)

    def _may_cross(self, start: Fraction, end: Fraction) -> bool:
        """The notes that may hide the middle of a bar of two halves."""
        if len(self.joints) != 3 or self.additive or not start < self.joints[1] < end:
            return False
        length, beat = self.meter.length, self.meter.length / 4
        if len(self.beats) != 4:
            return False
        if start == 0 and end in (length, 3 * beat):
            return _is_plain(end - start)
        quarters = {(Fraction(0), beat), (3 * beat, length)}
        return (
            (start, end) == (beat, 3 * beat) and quarters <= self.sounding and not self.meter.is_compound(0)
        )

    def _in_group(self, start: Fraction, end: Fraction, rest: bool) -> Iterator[tuple[Fraction, Fraction]]:
        """Split a span that lies between two joints."""
        while start < end:
            k = self._beat_at(start)
            first, last = self.beats[k]
            if start > first:
                if not rest and self._simple_syncopation(k, start, end):
                    yield start, end
                    return
                stop = min(last, end)
                yield from self._in_beat(k, start, stop, rest)
                start = stop
                continue
            stop = self._longest_from_beat(k, end, rest)
            if stop == start:
                stop = min(last, end)
                yield from self._in_beat(k, start, stop, rest)
            else:
                yield start, stop
            start = stop

    def _longest_from_beat(self, k: int, end: Fraction, rest: bool) -> Fraction:
        """Where one note or rest that starts on beat ``k`` may end; its own start where within the beat."""
        start = self.beats[k][0]
        best = start
        for j in range(k, len(self.beats)):
            stop = self.beats[j][1]
            if stop > end:
                break
            if _is_plain(stop - start) and (not rest or self._rest_may_fill(k, j)):
                best = stop
        half_on = best + self.meter.beats[k] / 2 if best < self.meter.length else best
        if (
            not rest
            and best == self.beats[k][1] < end == half_on
            and not self.meter.is_compound(k)
            and self._even(k)
            and self._even(k + 1)
        ):
            return half_on  # a dotted quarter from the beat
        return best

    def _rest_may_fill(self, k: int, j: int) -> bool:
        if k == j:
            return True
        starts, ends = self.beats[k][0], self.beats[j][1]
        return len(self.joints) > 2 and not self.additive and starts in self.joints and ends in self.joints

    def _simple_syncopation(self, k: int, start: Fraction, end: Fraction) -> bool:
        """Eighth-quarter-eighth, or eighth and dotted quarter, within half a bar of two simple beats."""
        first, last = self.beats[k]
        if k + 1 >= len(self.beats) or self.meter.is_compound(k) or self.additive:
            return False
        group_start = max(j for j in self.joints if j <= first)
        group_end = min(j for j in self.joints if j > first)
        beat = last - first
        if group_start != first or group_end - group_start != 2 * beat or start != first + beat / 2:
            return False
        if not (self._even(k) and self._even(k + 1)):
            return False
        return end in (last + beat / 2, group_end)

    def _even(self, k: int) -> bool:
        return self.divisions[k] in (1, 2, 4)

    def _in_beat(
        self, k: int, start: Fraction, end: Fraction, rest: bool
    ) -> Iterator[tuple[Fraction, Fraction]]:
        """Split what lies within one beat so that its halves or thirds stay visible."""
        first, last = self.beats[k]
        step = (last - first) / self.divisions[k]
        a, b = int((start - first) / step), int((end - first) / step)
        stops = _stops_in_beat(a, b, self.divisions[k], rest)
        if self.meter.is_compound(k) and self.divisions[k] == 4 and b - a == 3:
            stops = [2, b]  # three of four in a dotted beat are no single note
        for stop in stops:
            yield start, first + step * stop
            start = first + step * stop

    def _beat_at(self, instant: Fraction) -> int:
        return max(k for k, (start, _) in enumerate(self.beats) if start <= instant)

    def _tuplet(self, start: Fraction, end: Fraction) -> Tuplet | None:
        k = self._beat_at(start)
        first, last = self.beats[k]
        if self.meter.is_compound(k) or self.divisions[k] not in (3, 6) or (start == first and end >= last):
            return None
        actual = self.divisions[k]
        return Tuplet(actual, 2 if actual == 3 else 4, first, last - first)


def _stops_in_beat(a: int, b: int, division: int, rest: bool) -> list[int]:
    """Where the pieces of slots ``a`` to ``b`` of one beat end."""
    if b - a <= 1:
        return [b]
    if division == 4:
        if rest and a == 1:
            return [2, b] if b > 2 else [2]
        return [b]
    if division == 3:
        return [2, 3] if rest and a == 1 else [b]
    if division == 6:
        stops = []
        if a % 2 and (b - a > 2 or rest):
            a += 1
            stops.append(a)
        while a < b:
            longest = 4 if (not rest or a == 0) else 2
            size = max(n for n in (1, 2, 3, longest) if n <= b - a and not (rest and n == 3))
            a += size
            stops.append(a)
        return stops
    return [b]


def _is_plain(length: Fraction) -> bool:
    return length in _VALUES or length * 2 / 3 in _VALUES


def _plain(length: Fraction) -> tuple[Fraction, int]:
    """Note value and dots of a length that one notehead can write."""
    if length in _VALUES:
        return length, 0
    if length * 2 / 3 in _VALUES:
        return length * 2 / 3, 1
    raise AssertionError(f"no single note lasts {length} quarters")
