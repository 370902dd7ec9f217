"""Standard MIDI Files (MIDI Manufacturers Association, Standard MIDI Files 1.0, 1996), out and in.

Conventions: 480 ticks a quarter, format 1. What is written is what sounds: swing is in the ticks, a stroke
lasts until the next one or until it is stopped, a muted one at most to the end of its beat. One track for
each kind of stroke (down, up, and both muted), so that any sequencer shows them apart; a chord of G on the
strings that the stroke crosses. Pattern text, meter and swing stand in a text event at each pattern's start
and are used again by the reader where the notes agree.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

from drillapp.files.reading import TooLarge, read_bounded
from drillapp.files.writing import write_whole
from drillapp.interop.errors import InteropError
from drillapp.interop.midi_read import MOST_BYTES, patterns_of, read_file
from drillapp.music import Pattern
from drillapp.music.pattern import Stroke

TICKS = 480
TRACKS = ("down strokes", "up strokes", "muted down strokes", "muted up strokes")
_CHORD = (43, 47, 50, 55, 59, 67)
"""Note numbers of an open G chord, from the lowest string."""
_UP_STRINGS = 4
"""An up-stroke crosses the upper strings."""
_STEEL, _MUTED = 25, 28
"""General MIDI programs, from 0: acoustic guitar (steel), electric guitar (muted)."""
PLAIN, ACCENTED = 80, 112
"""Velocities."""


def dump(patterns: Iterable[Pattern], path: Path, titles: Sequence[str] = ()) -> None:
    """Write the patterns one after another into a MIDI file. Raises OSError, ValueError for none."""
    write_whole(path, dumps(patterns, titles))


def dumps(patterns: Iterable[Pattern], titles: Sequence[str] = ()) -> bytes:
    """The patterns as the bytes of a MIDI file."""
    import mido

    written = tuple(patterns)
    if not written:
        raise ValueError("there is no pattern to write; give at least one")
    file = mido.MidiFile(type=1, ticks_per_beat=TICKS, charset="utf-8")
    conductor: list[tuple[int, Any]] = [(0, mido.MetaMessage("track_name", name="strum patterns"))]
    strokes: list[list[tuple[int, Any]]] = [[] for _ in TRACKS]
    start = 0
    for number, pattern in enumerate(written, 1):
        title = titles[number - 1] if number <= len(titles) else f"pattern {number}"
        conductor += [(start, event) for event in _heading(pattern, title)]
        for stroke in pattern.strokes:
            kind = 2 * stroke.muted + (stroke.hand == "up")
            strokes[kind] += _events(pattern, stroke, start, kind)
        start += int(pattern.length * TICKS)
    file.tracks.append(_track(conductor, start))
    for kind, (name, events) in enumerate(zip(TRACKS, strokes, strict=True)):
        if events:
            program = _MUTED if kind >= 2 else _STEEL
            head = [
                (0, mido.MetaMessage("track_name", name=name)),
                (0, mido.Message("program_change", channel=kind, program=program)),
            ]
            file.tracks.append(_track(head + events, start))
    data = io.BytesIO()
    file.save(file=data)
    return data.getvalue()


def load(path: Path) -> tuple[Pattern, ...]:
    """The patterns of a MIDI file. Raises OSError, and InteropError as ``loads`` does."""
    try:
        return loads(read_bounded(path, MOST_BYTES))
    except TooLarge:
        most = MOST_BYTES // 1_000_000
        raise InteropError(
            f"the file is larger than {most} MB", code="file-large", places={"most": most}
        ) from None


def loads(data: bytes) -> tuple[Pattern, ...]:
    """The patterns of a MIDI file's bytes: exact from a file with TRACKS, else as near as slots allow.

    Notes that begin together, or nearly so, are one stroke; without TRACKS the hand is the one that keeps
    time. Raises InteropError, with the measure and the reason, for what cannot be a strum pattern.
    """
    return patterns_of(read_file(data), TRACKS, (PLAIN + ACCENTED) // 2)


def ticks(pattern: Pattern, at: Fraction) -> int:
    """When the written instant ``at`` is played, in ticks from the pattern's start.

    >>> from drillapp.music import parse
    >>> [ticks(parse("DU D D D", swing="2:1"), Fraction(n, 2)) for n in range(3)]
    [0, 320, 480]
    """
    quarters = pattern.seconds(at) * float(pattern.tempo) * float(pattern.meter.unit) / 60
    return round(quarters * TICKS)


def _heading(pattern: Pattern, title: str) -> list[Any]:
    import mido

    meter = pattern.meter
    swing = "" if pattern.swing is None else f"swing {pattern.swing.numerator}:{pattern.swing.denominator}; "
    quarters_a_minute = float(pattern.tempo) * float(meter.unit)
    return [
        mido.MetaMessage("marker", text=title),
        mido.MetaMessage("text", text=f"strum pattern; meter {meter.text}; {swing}{pattern.text}"),
        mido.MetaMessage(
            "time_signature",
            numerator=meter.numerator,
            denominator=meter.denominator,
            clocks_per_click=max(1, min(255, int(24 * meter.unit))),
            notated_32nd_notes_per_beat=8,
        ),
        mido.MetaMessage("set_tempo", tempo=min(0xFFFFFF, round(60_000_000 / quarters_a_minute))),
    ]


def _events(pattern: Pattern, stroke: Stroke, start: int, kind: int) -> list[tuple[int, Any]]:
    import mido

    on = start + ticks(pattern, stroke.at)
    off = start + ticks(pattern, stroke.at + stroke.length)
    velocity = ACCENTED if stroke.accent else PLAIN
    chord = _CHORD[-_UP_STRINGS:] if stroke.hand == "up" else _CHORD
    ons = [(on, mido.Message("note_on", channel=kind, note=note, velocity=velocity)) for note in chord]
    offs = [(off, mido.Message("note_off", channel=kind, note=note, velocity=64)) for note in chord]
    return ons + offs


def _track(events: list[tuple[int, Any]], end: int) -> Any:
    """Events at absolute ticks as a track, the note-offs of an instant before its note-ons."""
    import mido

    track = mido.MidiTrack()
    now = 0
    for at, message in sorted(events, key=lambda event: (event[0], event[1].type == "note_on")):
        message.time = at - now
        track.append(message)
        now = at
    track.append(mido.MetaMessage("end_of_track", time=end - now))
    return track
