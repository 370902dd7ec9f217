"""Writing MusicXML 4.0 (W3C Music Notation Community Group, Final Report 2021).

Conventions: one part on a one-line percussion staff; patterns follow one another, each ended by a final
barline. Slash noteheads for ringing strokes and x for muted; down-bow and up-bow for the hand (the standard
gives them for plucked strings too). Slots in which nothing happens have no sign in MusicXML, so the pattern
text is kept as a miscellaneous field of the identification, and used again by the reader where it agrees.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import lcm
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from drillapp.music import Note, Pattern, notes
from drillapp.notation.staff import BeamLine, beam_count, beam_groups, beam_lines

FIELD = "strum-pattern"
_DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)
_TYPES = {
    Fraction(8): "breve",
    Fraction(4): "whole",
    Fraction(2): "half",
    Fraction(1): "quarter",
    Fraction(1, 2): "eighth",
    Fraction(1, 4): "16th",
    Fraction(1, 8): "32nd",
    Fraction(1, 16): "64th",
}


def score(patterns: Iterable[Pattern], title: str = "", titles: Sequence[str] = ()) -> str:
    """The MusicXML document of these patterns; ``titles`` are theirs. Raises ValueError for none."""
    written = tuple(patterns)
    if not written:
        raise ValueError("there is no pattern to write; give at least one")
    root = Element("score-partwise", version="4.0")
    if title:
        _text(SubElement(root, "work"), "work-title", title)
    identification = SubElement(root, "identification")
    _text(SubElement(identification, "encoding"), "software", "drillapp")
    fields = SubElement(identification, "miscellaneous")
    for number, pattern in enumerate(written, 1):
        field = SubElement(fields, "miscellaneous-field", name=f"{FIELD}-{number}")
        field.text = pattern.text
    listed = SubElement(SubElement(root, "part-list"), "score-part", id="P1")
    _text(listed, "part-name", "Strum")
    part = SubElement(root, "part", id="P1")
    number = 1
    before: Pattern | None = None
    for index, pattern in enumerate(written):
        name = titles[index] if index < len(titles) else ""
        _PatternWriter(part, pattern, number, name, before).write()
        before = pattern
        number += len(pattern.bars)
    indent(root, " ")
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + _DOCTYPE + tostring(root, encoding="unicode") + "\n"


def _text(parent: Element, name: str, text: object) -> Element:
    element = SubElement(parent, name)
    element.text = str(text)
    return element


class _PatternWriter:
    """Writes the measures of one pattern."""

    def __init__(
        self, part: Element, pattern: Pattern, number: int, name: str, before: Pattern | None
    ) -> None:
        self.part, self.pattern, self.number, self.name = part, pattern, number, name
        self.before = before
        self.bars = notes(pattern)
        lengths = [note.length for bar in self.bars for note in bar] + list(pattern.meter.beats)
        self.divisions = lcm(*(length.denominator for length in lengths))

    def write(self) -> None:
        for index, bar in enumerate(self.bars):
            measure = SubElement(self.part, "measure", number=str(self.number + index))
            if index == 0:
                self._attributes(measure)
                self._directions(measure)
            beams = self._beams(index, bar)
            for note in self._silence(bar):
                self._note(measure, note, bar, beams.get(id(note), {}))
            if index == len(self.bars) - 1:
                _text(SubElement(measure, "barline", location="right"), "bar-style", "light-heavy")

    def _silence(self, bar: Sequence[Note]) -> Sequence[Note]:
        """The bar's notes, but a whole-bar rest beat by beat in additive meters.

        Readers work out a whole-bar rest's length from the meter, and not all can do so from a sum.
        """
        meter = self.pattern.meter
        if len(bar) > 1 or bar[0].stroke is not None or not meter.is_additive:
            return bar
        beats = []
        for start, length in zip(meter.starts, meter.beats, strict=True):
            dotted = length.numerator == 3
            value = length * 2 / 3 if dotted else length
            beats.append(Note(bar[0].at + start, length, value, int(dotted)))
        return beats

    def _attributes(self, measure: Element) -> None:
        attributes = SubElement(measure, "attributes")
        _text(attributes, "divisions", self.divisions)
        meter = self.pattern.meter
        if self.before is None or self.before.meter != meter:
            time = SubElement(attributes, "time")
            _text(time, "beats", "+".join(map(str, meter.groups)))
            _text(time, "beat-type", meter.denominator)
        if self.before is None:
            _text(SubElement(attributes, "clef"), "sign", "percussion")
            _text(SubElement(attributes, "staff-details"), "staff-lines", 1)

    def _directions(self, measure: Element) -> None:
        if self.name:
            direction = SubElement(measure, "direction", placement="above")
            _text(SubElement(direction, "direction-type"), "words", self.name)
        pattern = self.pattern
        unit, tempo = pattern.meter.unit, pattern.tempo
        direction = SubElement(measure, "direction", placement="above")
        metronome = SubElement(SubElement(direction, "direction-type"), "metronome")
        dotted = unit.numerator == 3
        _text(metronome, "beat-unit", _TYPES[unit * 2 / 3 if dotted else unit])
        if dotted:
            SubElement(metronome, "beat-unit-dot")
        _text(metronome, "per-minute", _decimal(tempo))
        sound = SubElement(direction, "sound", tempo=_decimal(Fraction(tempo) * unit))
        if pattern.swing is not None:
            swing = SubElement(sound, "swing")
            _text(swing, "first", pattern.swing.numerator)
            _text(swing, "second", pattern.swing.denominator)
            _text(swing, "swing-type", "eighth")
        elif self.before is not None and self.before.swing is not None:
            SubElement(SubElement(sound, "swing"), "straight")

    def _note(self, measure: Element, note: Note, bar: Sequence[Note], beams: dict[int, str]) -> None:
        element = SubElement(measure, "note")
        whole_bar = note.stroke is None and note is bar[0] and len(bar) == 1
        if note.stroke is None:
            rest = SubElement(element, "rest")
            if whole_bar:
                rest.set("measure", "yes")
        else:
            unpitched = SubElement(element, "unpitched")
            _text(unpitched, "display-step", "E")
            _text(unpitched, "display-octave", 4)
        _text(element, "duration", int(note.length * self.divisions))
        for kind, there in (("stop", note.tied_from), ("start", note.tied_to)):
            if there:
                SubElement(element, "tie", type=kind)
        _text(element, "voice", 1)
        if not whole_bar:
            _text(element, "type", _TYPES[note.value])
            for _ in range(note.dots):
                SubElement(element, "dot")
        if note.tuplet is not None:
            ratio = SubElement(element, "time-modification")
            _text(ratio, "actual-notes", note.tuplet.actual)
            _text(ratio, "normal-notes", note.tuplet.normal)
        if note.stroke is not None:
            if note.value < 4:
                _text(element, "stem", "up")
            _text(element, "notehead", "x" if note.stroke.muted else "slash")
        for level, state in sorted(beams.items()):
            beam = SubElement(element, "beam", number=str(level + 1))
            beam.text = state
        self._notations(element, note, bar)

    def _notations(self, element: Element, note: Note, bar: Sequence[Note]) -> None:
        notations = Element("notations")
        for kind, there in (("stop", note.tied_from), ("start", note.tied_to)):
            if there:
                SubElement(notations, "tied", type=kind)
        if note.tuplet is not None:
            members = [other for other in bar if other.tuplet == note.tuplet]
            if note is members[0]:
                SubElement(notations, "tuplet", type="start", number="1")
            if note is members[-1]:
                SubElement(notations, "tuplet", type="stop", number="1")
        if note.stroke is not None and not note.tied_from:
            technical = SubElement(notations, "technical")
            SubElement(technical, f"{note.stroke.hand}-bow")
            if note.stroke.accent:
                SubElement(SubElement(notations, "articulations"), "accent")
        if len(notations):
            element.append(notations)

    def _beams(self, index: int, bar: Sequence[Note]) -> dict[int, dict[int, str]]:
        """For every beamed note, by identity, the state of each of its beams."""
        meter = self.pattern.meter
        begin = meter.length * index
        states: dict[int, dict[int, str]] = {}
        for group in beam_groups(meter, begin, bar):
            start = max(begin + s for s in meter.starts if begin + s <= group[0].at)
            stemmed = [note for note in group if note.stroke is not None]
            for beam in beam_lines(group, start):
                for note, state in _beam_states(beam, stemmed):
                    states.setdefault(id(note), {})[beam.level] = state
        return states


def _beam_states(beam: BeamLine, stemmed: Sequence[Note]) -> list[tuple[Note, str]]:
    if beam.stub:
        return [(beam.first, "forward hook" if beam.stub > 0 else "backward hook")]
    under = [note for note in stemmed if beam.first.at <= note.at <= beam.last.at]
    under = [note for note in under if beam_count(note) > beam.level]
    middle = [(note, "continue") for note in under[1:-1]]
    return [(under[0], "begin"), *middle, (under[-1], "end")]


def _decimal(number: int | float | Fraction) -> str:
    value = Fraction(number)
    return str(value.numerator) if value.denominator == 1 else repr(float(value))
