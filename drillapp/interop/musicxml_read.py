"""Reading MusicXML (any version up to 4.0) as strum patterns.

One part with one voice is read. What sounds together is one stroke; pitches are not looked at. A pattern
ends at a final (light-heavy) barline, and where the meter, tempo or swing changes. Everything that has no
place in a strum pattern is refused, with the measure and the reason.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any

from drillapp.decks.deck import MAX_PATTERNS
from drillapp.interop.errors import InteropError, in_measure
from drillapp.interop.grid import Sounding, TimeSetting, finer, pattern_of
from drillapp.interop.meters import meter_of
from drillapp.interop.musicxml_write import FIELD
from drillapp.music import Pattern, PatternError, parse, read_swing
from drillapp.music.errors import Named
from drillapp.music.pattern import MAX_BARS, check_tempo
from drillapp.music.slots import Hand

_UNITS = {
    "breve": Fraction(8),
    "whole": Fraction(4),
    "half": Fraction(2),
    "quarter": Fraction(1),
    "eighth": Fraction(1, 2),
    "16th": Fraction(1, 4),
    "32nd": Fraction(1, 8),
}


@dataclass
class _Open:
    """A pattern being read."""

    setting: TimeSetting
    first_measure: int
    bars: int = 0
    sounds: list[Sounding] = field(default_factory=list)


def patterns_of(root: Any) -> tuple[Pattern, ...]:
    """The patterns of a parsed ``score-partwise`` element. Raises InteropError."""
    if root.tag == "score-timewise":
        raise InteropError(
            "the score is written by measures (timewise); save it by parts (partwise)", code="score-timewise"
        )
    if root.tag != "score-partwise":
        raise InteropError(
            f"this is XML of <{root.tag[:40]}>, not a MusicXML score-partwise",
            code="score-other-xml",
            places={"tag": root.tag[:40]},
        )
    parts = [part for part in root.findall("part") if part.find("measure/note") is not None]
    if not parts:
        raise InteropError("the score has no notes", code="score-empty")
    if len(parts) > 1:
        raise InteropError(
            f"the score has {len(parts)} parts with notes; a strum pattern is one part",
            code="score-parts",
            places={"parts": len(parts)},
        )
    reader = _Reader()
    for number, measure in enumerate(parts[0].findall("measure"), 1):
        reader.measure(measure, number)
    reader.close()
    kept = _kept_texts(root)
    return tuple(
        finer(pattern, _reparsed(kept.get(number), pattern)) for number, pattern in enumerate(reader.done, 1)
    )


def _kept_texts(root: Any) -> dict[int, str]:
    texts = {}
    for element in root.findall("identification/miscellaneous/miscellaneous-field"):
        start, _, number = element.get("name", "").rpartition("-")
        if start == FIELD and number.isdecimal() and len(number) < 6:
            texts[int(number)] = element.text or ""
    return texts


def _reparsed(text: str | None, pattern: Pattern) -> Pattern | None:
    if text is None:
        return None
    try:
        return parse(text, pattern.meter.text, 90)
    except PatternError:
        return None


class _Reader:
    """Reads measure after measure; ``done`` holds the finished patterns."""

    def __init__(self) -> None:
        self.done: list[Pattern] = []
        self.divisions = Fraction(1)
        self.setting: TimeSetting | None = None
        self.open: _Open | None = None
        self.label = "1"
        self.tied: int | None = None

    def measure(self, measure: Any, number: int) -> None:
        self.label = str(number)
        self._settings(measure, number)
        if self.setting is None:
            self._fail("there is no time signature before the first note", code="measure-without-meter")
        assert self.setting is not None
        if self.open is None:
            self.open = _Open(self.setting, number)
            self.tied = None
        if self.open.bars == MAX_BARS:
            self._fail(
                f"a pattern has at most {MAX_BARS} bars; part patterns with a final barline",
                code="score-bars",
                places={"most": MAX_BARS},
            )
        start = self.open.setting.meter.length * self.open.bars
        at = start
        end = start + self.open.setting.meter.length
        for element in measure:
            if at > end:
                break
            if element.tag == "note":
                at = self._note(element, at, start)
            elif element.tag == "forward":
                at += self._duration(element)
                self.tied = None
            elif element.tag == "backup":
                self._fail(
                    "several voices sound at once; a strum pattern is one voice", code="measure-voices"
                )
        if at != end:
            meter = self.open.setting.meter
            remedy = "fill the measure with rests" if at < end else "a pattern's bars are all of one length"
            held = f"{at - start}" if at < end else f"{at - start} or more"
            self._fail(
                f"it holds {held} quarters and {meter.text} has {meter.length}; {remedy}",
                code="measure-length",
                places={"held": held, "meter": meter.text, "right": meter.length, "remedy": remedy},
            )
        self.open.bars += 1
        if any(style.text == "light-heavy" for style in measure.findall("barline/bar-style")) and any(
            barline.get("location", "right") == "right" for barline in measure.findall("barline")
        ):
            self.close()

    def close(self) -> None:
        """End the pattern that is open, if there is one."""
        if self.open is None:
            return
        if len(self.done) == MAX_PATTERNS:
            self._fail(
                f"the score has more than {MAX_PATTERNS:,} patterns",
                code="score-patterns",
                places={"most": MAX_PATTERNS},
            )
        end = self.open.setting.meter.length * self.open.bars
        sounds = [replace(s, length=min(s.end, end) - s.at) for s in self.open.sounds]
        self.done.append(pattern_of(sounds, self.open.bars, self.open.setting, self.open.first_measure))
        self.open = None

    def _settings(self, measure: Any, number: int) -> None:
        """Meter, tempo and swing that hold from this measure on; one that changes begins a new pattern."""
        setting = self.setting
        notes_seen = False
        for element in measure:
            notes_seen = notes_seen or element.tag in ("note", "forward", "backup")
            if element.tag == "attributes":
                setting = self._attributes(element, setting)
                continue
            sounds = [element] if element.tag == "sound" else element.findall("sound")
            tempo = self._tempo(element, sounds, setting)
            swing = self._swing(sounds, setting)
            if setting is None or (tempo is None and swing is ...):
                continue
            changed = replace(
                setting,
                tempo=setting.tempo if tempo is None else tempo,
                swing=setting.swing if swing is ... else swing,
            )
            if changed != setting and notes_seen:
                self._fail(
                    "the tempo changes within the measure; a pattern has one tempo", code="measure-tempos"
                )
            setting = changed
        if self.open is not None and setting != self.open.setting:
            self.close()
        self.setting = setting

    def _attributes(self, element: Any, setting: TimeSetting | None) -> TimeSetting | None:
        divisions = element.findtext("divisions")
        if divisions is not None:
            self.divisions = self._number(divisions, "divisions")
            if self.divisions <= 0:
                self._fail(
                    f"divisions of {divisions.strip()[:20]} are not above zero",
                    code="measure-divisions",
                    places={"divisions": divisions.strip()[:20]},
                )
        times = element.findall("time")
        if len(times) > 1:
            self._fail("it has several time signatures at once", code="measure-meters")
        if not times:
            return setting
        time = times[0]
        if time.find("senza-misura") is not None:
            self._fail("it has no meter (senza misura)", code="measure-free")
        pairs = list(zip(time.findall("beats"), time.findall("beat-type"), strict=False))
        if not pairs or len({kind.text for _, kind in pairs}) > 1:
            self._fail("its time signature is not one that a pattern can have", code="measure-meter")
        beats = "+".join((beat.text or "").replace(" ", "") for beat, _ in pairs)
        try:
            meter = meter_of(f"{beats}/{(pairs[0][1].text or '').strip()}")
        except PatternError as error:
            raise in_measure(error, self.label) from None
        return TimeSetting(meter) if setting is None else replace(setting, meter=meter)

    def _tempo(self, element: Any, sounds: list[Any], setting: TimeSetting | None) -> int | float | None:
        """Beats a minute of the meter's counted beat."""
        if setting is None:
            return None
        metronome = element.find("direction-type/metronome") if element.tag == "direction" else None
        quarters: Fraction | None = None
        if metronome is not None and metronome.findtext("per-minute"):
            unit = _UNITS.get((metronome.findtext("beat-unit") or "").strip())
            if unit is not None:
                dots = len(metronome.findall("beat-unit-dot"))
                unit *= 2 - Fraction(1, 2**dots)
                quarters = self._number(metronome.findtext("per-minute") or "", "tempo") * unit
        if quarters is None:
            for sound in sounds:
                if sound.get("tempo") is not None:
                    quarters = self._number(sound.get("tempo"), "tempo")
        if quarters is None:
            return None
        tempo = quarters / setting.meter.unit
        value = int(tempo) if tempo.denominator == 1 else float(tempo)
        try:
            check_tempo(value)
        except PatternError as error:
            raise in_measure(error, self.label) from None
        return value

    def _swing(self, sounds: list[Any], setting: TimeSetting | None) -> Any:
        """The swing ratio, None for straight, or ... where nothing is said."""
        found: Any = ...
        for sound in sounds:
            swing = sound.find("swing")
            if swing is None or setting is None:
                continue
            if swing.find("straight") is not None:
                found = None
                continue
            if (swing.findtext("swing-type") or "eighth").strip() != "eighth":
                self._fail("it swings sixteenths; a pattern swings eighths", code="measure-swing")
            first, second = (
                self._number(swing.findtext(name) or "", "swing") for name in ("first", "second")
            )
            try:
                found = read_swing(first / second if second else 0)
            except PatternError as error:
                raise in_measure(error, self.label) from None
        return found

    def _note(self, note: Any, at: Fraction, start: Fraction) -> Fraction:
        if note.find("grace") is not None:
            self._fail("it has a grace note, which has no place in a pattern's slots", code="measure-grace")
        if note.find("cue") is not None:
            self._fail("it has a cue note", code="measure-cue")
        assert self.open is not None
        if note.find("chord") is not None:
            if self.open.sounds and self.open.sounds[-1].at >= start:
                self.open.sounds[-1] = _with_signs(self.open.sounds[-1], note)
            return at
        length = self._duration(note)
        if length <= 0:
            self._fail("it has a note without a duration", code="measure-duration")
        if note.find("rest") is not None:
            self.tied = None
            return at + length
        ties = {tie.get("type") for tie in note.findall("tie")} or {
            tied.get("type") for tied in note.findall("notations/tied")
        }
        if "stop" in ties and self.tied is not None:
            last = self.open.sounds[self.tied]
            self.open.sounds[self.tied] = replace(last, length=last.length + length)
        elif "stop" in ties and self.open.bars:
            self._fail("a tie arrives here that does not start at the note before", code="measure-tie")
        else:
            self.open.sounds.append(_with_signs(Sounding(at, length), note))
        self.tied = len(self.open.sounds) - 1 if "start" in ties else None
        return at + length

    def _duration(self, element: Any) -> Fraction:
        return self._number(element.findtext("duration") or "0", "duration") / self.divisions

    def _number(self, text: str, what: str) -> Fraction:
        text = text.strip()
        try:
            if len(text) > 24 or "/" in text:
                raise ValueError
            number = Fraction(text)
            if number.denominator > 10**9 or abs(number) > 10**9:
                raise ValueError
        except (ValueError, ZeroDivisionError):
            self._fail(
                f"{text[:24]!r} is not a number for {what}",
                code="measure-number",
                places={"text": text[:24], "what": what},
            )
            raise AssertionError from None
        return number

    def _fail(self, reason: str, *, code: str, places: Named | None = None) -> None:
        raise InteropError(reason, self.label, code=code, places=places)


def _with_signs(sound: Sounding, note: Any) -> Sounding:
    """The sound with what the note's signs say of it."""
    hand: Hand | None = sound.hand
    technical = note.findall("notations/technical/*")
    for sign in technical:
        if sign.tag in ("down-bow", "up-bow"):
            hand = "down" if sign.tag == "down-bow" else "up"
        elif sign.tag == "arrow" and sign.get("smufl") in ("guitarStrumDown", "guitarStrumUp"):
            hand = "down" if sign.get("smufl") == "guitarStrumDown" else "up"
    heads = {(head.text or "").strip() for head in note.findall("notehead")}
    muted = sound.muted or bool(heads & {"x", "cross", "circle-x"})
    signs = {sign.tag for sign in note.findall("notations/articulations/*")}
    accent = sound.accent or bool(signs & {"accent", "strong-accent"})
    return replace(sound, hand=hand, muted=muted, accent=accent)
