"""The rhythm staff: what stands on, above and below its one line.

Units: staff spaces, y from the staff line, x of a note is that of its slot's column. Rules, from memory
of E. Gould, Behind Bars (2011), and G. Read, Music Notation (2nd ed. 1979): stems on a one-line staff all
go up; beams show the beats and are level; a beamlet points to where the rest of its beat is; rests inside
a beamed beat stand under the beam; accents stand above the staff throughout; ties curve away from the
stems; a tuplet whose beam shows its extent has a number, any other a bracket.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from drillapp.music import Meter, Note, Tuplet
from drillapp.notation.smufl import default, metrics

STEM_TOP = 4.0
HEAD_GAP = 0.4
"""White between a notehead and its dot."""
DOT_Y = 0.5
BARLINE_REACH = 2.0
ACCENT_GAP = 0.4
TIE_Y = -1.35

_RING_HEADS = {Fraction(4): "noteheadSlashWhiteWhole", Fraction(2): "noteheadSlashWhiteHalf"}
_MUTED_HEADS = {Fraction(4): "noteheadXWhole", Fraction(2): "noteheadXHalf"}
_RESTS = {
    Fraction(4): "restWhole",
    Fraction(2): "restHalf",
    Fraction(1): "restQuarter",
    Fraction(1, 2): "rest8th",
    Fraction(1, 4): "rest16th",
    Fraction(1, 8): "rest32nd",
}
_FLAGS = {Fraction(1, 2): "flag8thUp", Fraction(1, 4): "flag16thUp", Fraction(1, 8): "flag32ndUp"}


@dataclass(frozen=True)
class Beat:
    """One beat's share of a bar's notes: where it starts and ends, from the pattern's start."""

    start: Fraction
    end: Fraction
    notes: tuple[Note, ...]


def head_name(note: Note) -> str:
    """SMuFL name of a note's head: slashes for ringing strokes, open from the half note up; X for muted."""
    if note.stroke is None:
        return _RESTS[min(note.value, Fraction(4))]
    if note.stroke.muted:
        return _MUTED_HEADS.get(min(note.value, Fraction(4)), "noteheadSlashX")
    return _RING_HEADS.get(min(note.value, Fraction(4)), "noteheadSlashHorizontalEnds")


def beam_count(note: Note) -> int:
    """Beams or flags of a note: 1 for an eighth, 2 for a sixteenth, 3 for a thirty-second."""
    count, value = 0, note.value
    while value < 1:
        count, value = count + 1, value * 2
    return count


def flag_name(note: Note) -> str:
    """SMuFL name of the flag of an unbeamed note shorter than a quarter."""
    return _FLAGS[note.value]


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
    """The notes that share a beam: within one beat, two or more shorter than a quarter, with the rests
    between them. A note of a quarter or more, or one that leaves the beat, parts a beam."""
    groups: list[list[Note]] = []
    for number, beat in enumerate(by_beats(meter, begin, notes)):
        end = begin + meter.starts[number] + meter.beats[number]
        run: list[Note] = []
        for note in beat:
            if note.value < 1 and note.at + note.length <= end and (note.stroke is not None or run):
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
    """The beams of one group, all levels, beamlets included."""
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
    """A bar's tuplets, each with its notes."""
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
    head = metrics(head_name(note))
    x, y = head.anchors["stemUpSE"]
    return x - head.middle - default("stemThickness") / 2, y
