"""The rhythm staff: what stands on, above and below its one line.

Units: staff spaces, y from the staff line, x of a note is that of its slot's column. Rules, from memory
of E. Gould, Behind Bars (2011), and G. Read, Music Notation (2nd ed. 1979): stems on a one-line staff all
go up; beams show the beats and are level; a beamlet points to where the rest of its beat is; rests inside
a beamed beat stand under the beam; accents stand above the staff throughout; ties curve away from the
stems; a tuplet whose beam shows its extent has a number, any other a bracket.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from drillapp.music import Meter, Note, Tuplet
from drillapp.notation.smufl import default, metrics

STEM_TOP = 4.0
LONGER_STEM = 0.75
"""What each beam beyond the second adds to the stems."""
HEAD_GAP = 0.4
"""White between a notehead and its dot."""
DOT_Y = 0.5
BARLINE_REACH = 2.0
ACCENT_GAP = 0.4
TIE_Y = -1.35

# By note value: whole quarters, or the part of a quarter where it is shorter (2 for an eighth).
_RING_HEADS = {8: "noteheadSlashWhiteDoubleWhole", 4: "noteheadSlashWhiteWhole", 2: "noteheadSlashWhiteHalf"}
_MUTED_HEADS = {8: "noteheadXDoubleWhole", 4: "noteheadXWhole", 2: "noteheadXHalf"}
_LONG_RESTS = {8: "restDoubleWhole", 4: "restWhole", 2: "restHalf", 1: "restQuarter"}
_SHORT_RESTS = {2: "rest8th", 4: "rest16th", 8: "rest32nd", 16: "rest64th"}
_FLAGS = {2: "flag8thUp", 4: "flag16thUp", 8: "flag32ndUp", 16: "flag64thUp"}


def head_name(note: Note) -> str:
    """SMuFL name of a note's head: slashes for ringing strokes, open from the half note up; X for muted.

    Rhythm slashes with stems: Gould 2011; the large X of the slash family for muted strokes: SMuFL 1.4.
    """
    whole, part = note.value.numerator, note.value.denominator
    if note.stroke is None:
        return _LONG_RESTS[whole] if part == 1 else _SHORT_RESTS[part]
    heads = _MUTED_HEADS if note.stroke.muted else _RING_HEADS
    closed = "noteheadSlashX" if note.stroke.muted else "noteheadSlashHorizontalEnds"
    return heads.get(whole, closed) if part == 1 else closed


def beam_count(note: Note) -> int:
    """Beams or flags of a note: 1 for an eighth, 2 for a sixteenth, 3 for a thirty-second."""
    return note.value.denominator.bit_length() - 1


def stem_top(notes: Iterable[Note]) -> float:
    """Where the stems of a line of notes end: one height for all (Gould 2011: more beams, longer stems)."""
    most = max((beam_count(note) for note in notes if note.stroke is not None), default=0)
    return STEM_TOP + LONGER_STEM * max(0, most - 2)


def flag_name(note: Note) -> str:
    """SMuFL name of the flag of an unbeamed note shorter than a quarter."""
    return _FLAGS[note.value.denominator]


def by_beats(meter: Meter, begin: Fraction, notes: Sequence[Note]) -> list[list[Note]]:
    """A bar's notes in the beats that they start in."""
    groups: list[list[Note]] = [[] for _ in meter.beats]
    starts = [begin + start for start in meter.starts]
    beat = 0
    for note in notes:
        while beat + 1 < len(starts) and note.at >= starts[beat + 1]:
            beat += 1
        groups[beat].append(note)
    return groups


def beam_groups(meter: Meter, begin: Fraction, notes: Sequence[Note]) -> list[list[Note]]:
    """The notes that share a beam: two or more below a quarter within one beat, and rests between them.

    A note of a quarter or more, or one that leaves the beat, parts a beam (Gould 2011 and Read 1979: beams
    show the beats).
    """
    groups: list[list[Note]] = []
    for number, beat in enumerate(by_beats(meter, begin, notes)):
        end = begin + meter.starts[number] + meter.beats[number]
        run: list[Note] = []
        for note in beat:
            short = note.value.denominator > 1
            if short and (note.stroke is not None or run) and note.at + note.length <= end:
                run.append(note)
                continue
            _keep(groups, run)
            run = []
        _keep(groups, run)
    return groups


def _keep(groups: list[list[Note]], run: list[Note]) -> None:
    while run and run[-1].stroke is None:
        run.pop()
    if sum(note.stroke is not None for note in run) > 1:
        groups.append(run)


@dataclass(frozen=True)
class BeamLine:
    """One stretch of beam at a level (0 is the outer one) from one stem to another, or a stub beside one.

    ``stub`` is -1 for a beamlet to the left of ``first``, 1 for one to its right, 0 for a full beam.
    """

    level: int
    first: Note
    last: Note
    stub: int = 0


def beam_lines(group: Sequence[Note], beat_start: Fraction) -> list[BeamLine]:
    """The beams of one group, all levels, beamlets included (Gould 2011: they point into the beat)."""
    stemmed = [note for note in group if note.stroke is not None]
    lines = [BeamLine(0, stemmed[0], stemmed[-1])]
    for level in range(1, max(map(beam_count, stemmed))):
        run: list[int] = []
        for index, note in enumerate([*stemmed, None]):
            if (
                note is not None
                and beam_count(note) > level
                and not (run and _parted(group, stemmed[run[-1]], note))
            ):
                run.append(index)
                continue
            if run:
                lines.append(_beam_of_run(level, run, stemmed, beat_start))
            run = [index] if note is not None and beam_count(note) > level else []
    return lines


def _parted(group: Sequence[Note], before: Note, after: Note) -> bool:
    """A rest of an eighth or more between two notes parts their secondary beams."""
    return any(
        note.stroke is None and before.at < note.at < after.at and note.value >= Fraction(1, 2)
        for note in group
    )


def _beam_of_run(level: int, run: list[int], stemmed: Sequence[Note], beat_start: Fraction) -> BeamLine:
    first, last = stemmed[run[0]], stemmed[run[-1]]
    if len(run) > 1:
        return BeamLine(level, first, last)
    if run[0] == 0:
        return BeamLine(level, first, last, 1)
    if run[0] == len(stemmed) - 1:
        return BeamLine(level, first, last, -1)
    # Inside a group a beamlet turns to the note that it makes up a whole subdivision with.
    unit = first.length * 2
    return BeamLine(level, first, last, 1 if ((first.at - beat_start) / unit).denominator == 1 else -1)


def tuplets(notes: Sequence[Note]) -> list[tuple[Tuplet, list[Note]]]:
    """A bar's tuplets, each with its notes.

    One that a beam covers from end to end needs no bracket (Gould 2011; Read 1979).
    """
    found: list[tuple[Tuplet, list[Note]]] = []
    for note in notes:
        if note.tuplet is None:
            continue
        if not found or found[-1][0] != note.tuplet:
            found.append((note.tuplet, []))
        found[-1][1].append(note)
    return found


def note_extents(note: Note, flagged: bool) -> tuple[float, float]:
    """How far a note or rest reaches to the left and right of its column's middle."""
    head = metrics(head_name(note))
    half = head.width / 2
    right = half
    if note.dots:
        right += HEAD_GAP + metrics("augmentationDot").advance
    if flagged:
        right = max(right, half + metrics(flag_name(note)).advance)
    return half, right


def stem_offset(note: Note) -> tuple[float, float]:
    """Middle and lower end of a note's stem, from its column's middle and the staff line."""
    return _stem_offset(head_name(note))


@cache
def _stem_offset(name: str) -> tuple[float, float]:
    head = metrics(name)
    x, y = head.anchors["stemUpSE"]
    return x - head.middle - default("stemThickness") / 2, y
