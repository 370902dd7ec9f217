"""From what sounds, and when, to the slots of a pattern.

Conventions: times are Fractions of a quarter from the start of the pattern.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from drillapp.interop.errors import InteropError, in_measure
from drillapp.music import REST, RING, Bar, Beat, Meter, Pattern, PatternError, Slot, natural_hand
from drillapp.music.pattern import MAX_BARS
from drillapp.music.slots import DIVISIONS, Hand


@dataclass(frozen=True)
class Sounding:
    """A stroke as another program wrote it; ``hand`` is None where the file does not say."""

    at: Fraction
    length: Fraction
    hand: Hand | None = None
    muted: bool = False
    accent: bool = False

    @property
    def end(self) -> Fraction:
        return self.at + self.length


@dataclass(frozen=True)
class TimeSetting:
    """What holds for a whole pattern."""

    meter: Meter
    tempo: int | float = 90
    swing: Fraction | None = None


def pattern_of(
    sounds: Iterable[Sounding], bars: int, setting: TimeSetting, first_measure: int = 1
) -> Pattern:
    """The pattern of ``bars`` bars that sounds so, each beat in as few slots as its strokes and stops need.

    ``first_measure`` is the number of its first bar in faults. Raises InteropError where a beat would not
    divide into 1, 2, 3, 4 or 6 slots, or the bars are too many.
    """
    if bars > MAX_BARS:
        raise InteropError(
            f"a pattern has at most {MAX_BARS} bars and this one {bars}; part patterns with a final barline",
            str(first_measure),
            code="measures-many",
            places={"most": MAX_BARS, "bars": bars},
        )
    ordered = sorted(sounds, key=lambda sound: sound.at)
    written = tuple(_bar(ordered, bar, setting.meter, first_measure) for bar in range(bars))
    try:
        return Pattern(written, setting.meter, setting.tempo, setting.swing)
    except PatternError as error:
        raise in_measure(error, str(first_measure)) from None


def finer(pattern: Pattern, written: Pattern | None) -> Pattern:
    """``written`` where it sounds as ``pattern`` does, else ``pattern``.

    What was written knows the slots in which nothing happens.
    """
    if written is None:
        return pattern
    same = (
        written.meter == pattern.meter
        and written.length == pattern.length
        and written.strokes == pattern.strokes
        and written.stops == pattern.stops
    )
    return Pattern(written.bars, pattern.meter, pattern.tempo, pattern.swing) if same else pattern


def _bar(sounds: list[Sounding], number: int, meter: Meter, first_measure: int) -> Bar:
    beats = []
    for beat, (start, length) in enumerate(zip(meter.starts, meter.beats, strict=True)):
        begin = meter.length * number + start
        end = begin + length
        near = [sound for sound in sounds if sound.at < end and sound.end > begin]
        division = _division(near, begin, end)
        if division is None:
            raise InteropError(
                f"beat {beat + 1} would need other slots than {', '.join(map(str, DIVISIONS))} in the beat: "
                f"strokes or stops at {_listed(near, begin, end)} of it",
                str(first_measure + number),
                code="beat-indivisible",
                places={"beat": beat + 1, "at": _listed(near, begin, end)},
            )
        beats.append(_beat(near, begin, length / division, division))
    return tuple(beats)


def _marks(near: list[Sounding], begin: Fraction, end: Fraction) -> set[Fraction]:
    """Where within the beat something begins or stops, as shares of the beat."""
    instants = {sound.at for sound in near} | {sound.end for sound in near}
    return {(at - begin) / (end - begin) for at in instants if begin < at < end}


def _division(near: list[Sounding], begin: Fraction, end: Fraction) -> int | None:
    marks = _marks(near, begin, end)
    return next((n for n in DIVISIONS if all((mark * n).denominator == 1 for mark in marks)), None)


def _listed(near: list[Sounding], begin: Fraction, end: Fraction) -> str:
    return ", ".join(str(mark) for mark in sorted(_marks(near, begin, end)))


def _beat(near: list[Sounding], begin: Fraction, step: Fraction, division: int) -> Beat:
    slots: list[Slot] = []
    for number in range(division):
        at = begin + step * number
        struck = next((sound for sound in near if sound.at == at), None)
        if struck is not None:
            second_struck = number == 2 and slots[1].action == "strike"
            hand = struck.hand or natural_hand(number, division, second_struck)
            slots.append(Slot("strike", hand, struck.muted, struck.accent))
        elif any(sound.at < at < sound.end for sound in near):
            slots.append(RING)
        else:
            slots.append(REST)
    return tuple(slots)
