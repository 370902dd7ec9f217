"""Reading MIDI files as strum patterns.

Conventions: times are Fractions of a quarter from the start of a segment, which is the run of measures that
makes one pattern: it ends where a marker of ours, the meter or the tempo says so, and with the file.
"""

from __future__ import annotations

import io
import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil

from drillapp.decks.deck import MAX_PATTERNS
from drillapp.interop.errors import InteropError, in_measure
from drillapp.interop.grid import Sounding, TimeSetting, pattern_of
from drillapp.interop.meters import meter_of
from drillapp.interop.midi_grid import Grid
from drillapp.music import Meter, Pattern, PatternError, parse, read_swing
from drillapp.music.pattern import MAX_BARS, check_tempo

MOST_BYTES = 1_000_000
MOST_HEADINGS = 20_000
"""Changes of meter and tempo, and texts: ten for each pattern that is read."""
_TOGETHER = Fraction(1, 12)
"""Notes that begin within so many quarters are one stroke: a slow strum."""
_NEAR = Fraction(1, 30)
"""How far a played note may be from its slot, in quarters."""
_EXACT = Fraction(1, 200)
"""The same in a file of our own, whose ticks are rounded."""
_BREATH = Fraction(1, 6)
"""A shorter silence before the next stroke is how it was played, not a rest."""
_TEXT = re.compile(r"strum pattern; meter ([0-9+/]{3,80}); (?:swing (\d{1,3}:\d{1,3}); )?(.*)", re.DOTALL)


@dataclass(frozen=True)
class PlayedNote:
    """A note of the file: ticks of its start and end, its velocity, and the number of its track."""

    on: int
    off: int
    velocity: int
    track: int


@dataclass
class TrackHeading:
    """What the file says at one instant."""

    tick: int
    meter: tuple[int, int] | None = None
    tempo: int | None = None
    text: str | None = None


@dataclass
class File:
    """What a MIDI file holds that a pattern can be made of."""

    ticks: int
    notes: list[PlayedNote] = field(default_factory=list)
    names: dict[int, str] = field(default_factory=dict)
    headings: list[TrackHeading] = field(default_factory=list)
    end: int = 0


def read_file(data: bytes) -> File:
    """The notes, names and headings of a MIDI file's bytes. Raises InteropError."""
    import mido

    if not data:
        raise InteropError("the file is empty", code="file-empty")
    if len(data) > MOST_BYTES:
        most = MOST_BYTES // 1_000_000
        raise InteropError(f"the file is larger than {most} MB", code="file-large", places={"most": most})
    # Counted in the bytes, before each is made into an object: meta events FF 58, FF 51 and FF 01.
    if sum(data.count(bytes((0xFF, kind))) for kind in (0x58, 0x51, 0x01)) > MOST_HEADINGS:
        raise InteropError(
            f"the file has more than {MOST_HEADINGS:,} changes of meter and tempo; a sheet has a few",
            code="midi-headings",
            places={"most": MOST_HEADINGS},
        )
    try:
        midi = mido.MidiFile(file=io.BytesIO(data), charset="utf-8")
    except Exception as error:  # mido raises whatever its parser stumbles over
        raise InteropError(
            f"this is not a MIDI file, or a damaged one ({error})",
            code="midi-damaged",
            places={"reason": str(error)},
        ) from None
    if midi.type == 2:
        raise InteropError(
            "the file's tracks do not sound together (format 2); save it as format 0 or 1",
            code="midi-format",
        )
    if not 0 < midi.ticks_per_beat < 0x8000:
        raise InteropError(
            "the file counts time in film frames; save it with ticks a quarter", code="midi-frames"
        )
    file = File(midi.ticks_per_beat)
    for number, track in enumerate(midi.tracks):
        _read_track(file, number, track)
    file.notes.sort(key=lambda note: note.on)
    file.headings.sort(key=lambda heading: heading.tick)
    return file


def _read_track(file: File, number: int, track: Sequence[object]) -> None:
    now = 0
    sounding: dict[tuple[int, int], tuple[int, int]] = {}
    for message in track:
        now += message.time  # type: ignore[attr-defined]
        kind: str = message.type  # type: ignore[attr-defined]
        if kind in ("note_on", "note_off"):
            key = (message.channel, message.note)  # type: ignore[attr-defined]
            if key in sounding:
                on, velocity = sounding.pop(key)
                file.notes.append(PlayedNote(on, now, velocity, number))
            if kind == "note_on" and message.velocity > 0:  # type: ignore[attr-defined]
                sounding[key] = (now, message.velocity)  # type: ignore[attr-defined]
        elif kind == "track_name":
            file.names.setdefault(number, message.name)  # type: ignore[attr-defined]
        elif kind == "time_signature":
            signature = (message.numerator, message.denominator)  # type: ignore[attr-defined]
            file.headings.append(TrackHeading(now, meter=signature))
        elif kind == "set_tempo":
            file.headings.append(TrackHeading(now, tempo=message.tempo))  # type: ignore[attr-defined]
        elif kind == "text" and _TEXT.fullmatch(message.text):  # type: ignore[attr-defined]
            file.headings.append(TrackHeading(now, text=message.text))  # type: ignore[attr-defined]
    file.notes += [PlayedNote(on, now, velocity, number) for on, velocity in sounding.values()]
    file.end = max(file.end, now)


@dataclass(frozen=True)
class _Segment:
    start: int
    end: int
    setting: TimeSetting
    text: str | None
    first_measure: int


def patterns_of(file: File, tracks: Sequence[str], accent_above: int) -> tuple[Pattern, ...]:
    """The patterns of a file; ``tracks`` names those of down, up, muted down and muted up strokes."""
    if not file.notes:
        raise InteropError("the file has no notes", code="midi-empty")
    used = sorted({note.track for note in file.notes})
    ours = all(file.names.get(track) in tracks for track in used)
    if not ours and len(used) > 1:
        raise InteropError(
            f"{len(used)} tracks have notes; a strum pattern is one",
            code="midi-tracks",
            places={"tracks": len(used)},
        )
    kinds = {track: tracks.index(file.names[track]) for track in used} if ours else {}
    if not ours:
        velocities = sorted(note.velocity for note in file.notes)
        accent_above = round(velocities[len(velocities) // 2] * 1.2)
    patterns: list[Pattern] = []
    for segment in _segments(file):
        if len(patterns) == MAX_PATTERNS:
            raise InteropError(
                f"the file has more than {MAX_PATTERNS:,} patterns",
                code="midi-patterns",
                places={"most": MAX_PATTERNS},
            )
        sounds = list(_strokes(file, segment, kinds, accent_above))
        patterns.append(_pattern(segment, sounds, exact=ours))
    return tuple(patterns)


def _segments(file: File) -> Iterator[_Segment]:
    meter: tuple[int, int] = (4, 4)
    tempo = 500_000  # the standard's default: 120 quarters a minute
    starts: list[tuple[int, tuple[int, int], int, str | None]] = [(0, meter, tempo, None)]
    for heading in file.headings:
        meter = heading.meter or meter
        tempo = heading.tempo or tempo
        last = starts[-1]
        if heading.tick == last[0]:
            starts[-1] = (last[0], meter, tempo, heading.text or last[3])
        elif heading.text is not None or (meter, tempo) != last[1:3]:
            starts.append((heading.tick, meter, tempo, heading.text))
    last_note = max(note.off for note in file.notes)
    ends = [start[0] for start in starts[1:]] + [max(file.end if starts[-1][3] else 0, last_note)]
    measure = 1
    for (start, signature, microseconds, text), end in zip(starts, ends, strict=True):
        if start >= end:
            continue
        setting = _setting(signature, microseconds, text, measure)
        yield _Segment(start, end, setting, text, measure)
        measure += ceil(Fraction(end - start, file.ticks) / setting.meter.length)


def _setting(signature: tuple[int, int], microseconds: int, text: str | None, measure: int) -> TimeSetting:
    written = _TEXT.fullmatch(text) if text else None
    try:
        meter = meter_of(written[1] if written else f"{signature[0]}/{signature[1]}")
        swing = read_swing(written[2]) if written else None
        tempo = _tempo(microseconds, meter)
        check_tempo(tempo)
    except PatternError as error:
        raise in_measure(error, str(measure)) from None
    return TimeSetting(meter, tempo, swing)


def _tempo(microseconds: int, meter: Meter) -> int | float:
    """Beats a minute of the counted beat, as whole or tenths where that is what the microseconds round."""
    exact = 60_000_000 / microseconds / float(meter.unit)
    for places in (0, 1, 2):
        near = round(exact, places)
        if near and round(60_000_000 / (near * float(meter.unit))) == microseconds:
            return int(near) if near == int(near) else near
    return exact


def _strokes(file: File, segment: _Segment, kinds: dict[int, int], accent_above: int) -> Iterator[Sounding]:
    """The notes of a segment, those that begin together taken as one stroke."""
    together = 0 if kinds else int(_TOGETHER * file.ticks)  # our own chords are not spread
    group: list[PlayedNote] = []
    first = bisect_left(file.notes, segment.start, key=_start)
    last = bisect_left(file.notes, segment.end, key=_start)
    for note in file.notes[first:last]:
        if group and (note.track != group[0].track or note.on - group[0].on > together):
            yield _stroke(group, file, segment, kinds, accent_above)
            group = []
        group.append(note)
    if group:
        yield _stroke(group, file, segment, kinds, accent_above)


def _start(note: PlayedNote) -> int:
    return note.on


def _stroke(
    group: list[PlayedNote], file: File, segment: _Segment, kinds: dict[int, int], accent_above: int
) -> Sounding:
    on = Fraction(group[0].on - segment.start, file.ticks)
    off = Fraction(min(max(note.off for note in group), segment.end) - segment.start, file.ticks)
    accent = max(note.velocity for note in group) >= accent_above
    kind = kinds.get(group[0].track)
    if kind is None:
        return Sounding(on, off - on, None, False, accent)
    return Sounding(on, off - on, "up" if kind % 2 else "down", kind >= 2, accent)


def _pattern(segment: _Segment, sounds: list[Sounding], exact: bool) -> Pattern:
    setting = segment.setting
    meter = setting.meter
    end = max([sound.end for sound in sounds], default=Fraction(0))
    bars = max(1, ceil((end - _NEAR) / meter.length))
    written = _TEXT.fullmatch(segment.text) if segment.text else None
    if written:
        try:
            kept = parse(written[3], meter.text, setting.tempo, setting.swing)
        except PatternError:
            kept = None
        if kept is not None:
            bars = max(bars, len(kept.bars))
            if exact and _plays(kept, sounds):
                return kept
    if bars > MAX_BARS:
        raise InteropError(
            f"a pattern has at most {MAX_BARS} bars and this one {bars}",
            str(segment.first_measure),
            code="midi-bars",
            places={"most": MAX_BARS, "bars": bars},
        )
    grid = Grid(setting, bars, _EXACT if exact else _NEAR, segment.first_measure)
    snapped = grid.snapped(sounds, _EXACT if exact else _BREATH)
    return pattern_of(snapped, bars, setting, segment.first_measure)


def _plays(pattern: Pattern, sounds: list[Sounding]) -> bool:
    """Whether the pattern's strokes sound when and as these do, to a two-hundredth of a quarter."""
    if len(sounds) != len(pattern.strokes):
        return False
    rate = float(pattern.tempo) * float(pattern.meter.unit) / 60
    for stroke, sound in zip(pattern.strokes, sounds, strict=True):
        on, off = pattern.seconds(stroke.at) * rate, pattern.seconds(stroke.at + stroke.length) * rate
        same = (stroke.hand, stroke.muted, stroke.accent) == (sound.hand, sound.muted, sound.accent)
        if not same or abs(on - sound.at) > _EXACT or abs(off - sound.end) > _EXACT:
            return False
    return True
