"""From played instants to the slots that they were meant for.

Conventions: times are Fractions of a quarter from the start of the pattern. Where the pattern swings, the
slots of beats of two and four are looked for where they are played.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from drillapp.interop.errors import InteropError
from drillapp.interop.grid import Sounding, TimeSetting
from drillapp.music.slots import DIVISIONS


class _Slot(NamedTuple):
    """A slot, or the end of all: when it is played and when it is written."""

    played: Fraction
    written: Fraction


class Grid:
    """The slots of ``bars`` bars; an instant belongs to one that is played within ``near`` of it."""

    def __init__(self, setting: TimeSetting, bars: int, near: Fraction, first_measure: int) -> None:
        self.setting, self.bars, self.near, self.first_measure = setting, bars, near, first_measure

    def snapped(self, sounds: list[Sounding], breath: Fraction) -> Iterator[Sounding]:
        """The strokes at their slots, each until the next, or its stop where more than ``breath`` is silent.

        Raises InteropError where strokes in a beat are near no slots.
        """
        slots = [slot for beat in self._beats(sounds, breath) for slot in beat]
        end = self.setting.meter.length * self.bars
        slots.append(_Slot(end, end))
        starts = [_nearest(sound.at, slots) for sound in sounds]
        for number, (sound, start) in enumerate(zip(sounds, starts, strict=True)):
            last = number + 1 == len(sounds)
            following = slots[-1] if last else starts[number + 1]
            if start.written >= following.written:
                continue  # two strokes on one slot: the later one is kept
            stop = following
            if sound.end < following.played - breath:
                after = slots[slots.index(start) + 1]
                stop = min(following, max(_nearest(sound.end, slots), after))
            yield replace(sound, at=start.written, length=stop.written - start.written)

    def _beats(self, sounds: list[Sounding], breath: Fraction) -> Iterator[list[_Slot]]:
        meter = self.setting.meter
        stops = [
            sound.end
            for sound, following in zip(sounds, [*sounds[1:], None], strict=False)
            if following is None or sound.end < following.at - breath
        ]
        for bar in range(self.bars):
            for beat, (start, length) in enumerate(zip(meter.starts, meter.beats, strict=True)):
                begin = meter.length * bar + start
                first, last = begin - self.near, begin + length - self.near
                played = [sound.at for sound in sounds if first <= sound.at < last]
                division = self._division(played, begin, beat)
                if division is None:
                    raise InteropError(
                        f"beat {beat + 1} has strokes that are near no slots; "
                        f"a beat has {', '.join(map(str, DIVISIONS))}",
                        str(self.first_measure + bar),
                        code="beat-near-nothing",
                        places={"beat": beat + 1},
                    )
                stopped = [at for at in stops if first <= at < last]
                division = self._division(played + stopped, begin, beat) or division
                yield self._slots(division, begin, beat)

    def _division(self, instants: list[Fraction], begin: Fraction, beat: int) -> int | None:
        """The fewest slots that all the instants are near to."""
        length = self.setting.meter.beats[beat]
        for division in DIVISIONS:
            played = [slot.played for slot in self._slots(division, begin, beat)] + [begin + length]
            if all(min(abs(at - slot) for slot in played) <= self.near for at in instants):
                return division
        return None

    def _slots(self, division: int, begin: Fraction, beat: int) -> list[_Slot]:
        length, swing = self.setting.meter.beats[beat], self.setting.swing
        swings = swing is not None and division in (2, 4) and not self.setting.meter.is_compound(beat)
        slots = []
        for number in range(division):
            share = Fraction(number, division)
            played = _swung(share, swing) if swings and swing is not None else share
            slots.append(_Slot(begin + played * length, begin + share * length))
        return slots


def _swung(share: Fraction, swing: Fraction) -> Fraction:
    """Where in the beat a written share of it is played: its halves in the ratio of the swing."""
    long, half = swing / (swing + 1), Fraction(1, 2)
    return share / half * long if share <= half else long + (share - half) / half * (1 - long)


def _nearest(at: Fraction, slots: list[_Slot]) -> _Slot:
    return min(slots, key=lambda slot: abs(slot.played - at))
