"""Quick measures of a pattern in the making: its features, its syncopation, its fastest tempo.

They say what ``features_of``, ``syncopation`` and ``difficulty.hindrances`` say of the finished
pattern (the tests hold them to it), without spelling it out, so that many can be tried in a millisecond.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from itertools import pairwise

from drillapp.music.difficulty import FASTEST_RETURN, FASTEST_TURN
from drillapp.music.features import slot_feature
from drillapp.music.meter import Meter
from drillapp.music.pattern import Pattern
from drillapp.music.slots import REST, RING, Bar, Slot
from drillapp.music.spelling import notes
from drillapp.music.syncopation import weights


@dataclass
class Mark:
    """A slot in the making: its sign (D, U, - or .), where it stands, and what is put on it."""

    sign: str
    bar: int
    beat: int
    number: int
    of: int
    muted: bool = False
    accent: bool = False
    flipped: bool = False

    @property
    def struck(self) -> bool:
        return self.sign in "DU"

    @property
    def hand(self) -> str:
        return "down" if (self.sign == "D") is not self.flipped else "up"


def features(slots: Sequence[Mark], meter: Meter, swing: bool) -> frozenset[str]:
    """What ``features_of`` gives for these slots, which must be settled (see ``settle``)."""
    found = {"meter"}
    for slot in slots:
        if not slot.struck:
            found.add("skip")
            if slot.sign == ".":
                found.add("rest")
            continue
        found.add(slot_feature(slot.number, slot.of, meter.is_compound(slot.beat)))
        if slot.muted:
            found.add("mute")
        if slot.accent:
            found.add("accent")
        if slot.flipped and (slot.of != 3 or slot.number == 0):
            found.add("direction")
        if swing and slot.number and slot.of in (2, 4) and not meter.is_compound(slot.beat):
            found.add("swing")
    if _ties(slots, meter):
        found.add("tie")
    return frozenset(found)


def settle(slots: Sequence[Mark]) -> None:
    """Turn what is held where nothing rings into rests, as a Pattern does."""
    sounding = muted = False
    for slot in slots:
        if slot.number == 0 and muted:
            sounding = False
        if slot.struck:
            sounding, muted = True, slot.muted
        elif slot.sign == "." or not sounding:
            sounding, slot.sign = False, "."


def syncopated(slots: Sequence[Mark], meter: Meter) -> int:
    """Syncopation of these slots (Longuet-Higgins and Lee 1984, as in ``syncopation``)."""
    total = strength = 0
    current: int | None = None
    for slot in slots:
        weight = _weights(meter, slot.beat, slot.of)[slot.number]
        if slot.struck:
            total += strength
            current, strength = weight, 0
        elif current is not None:
            strength = max(strength, weight - current)
    return total + strength


def fastest(slots: Sequence[Mark], meter: Meter, bars: int, swing: Fraction | None) -> float:
    """The fastest tempo at which the arm can follow, over the end of the loop as well."""
    struck = [(_beats_in(meter, slot, swing), slot.hand) for slot in slots if slot.struck]
    if not struck:
        return 400.0
    length = float(meter.length / meter.unit) * bars
    struck.append((struck[0][0] + length, struck[0][1]))
    bound = 400.0
    for (at, hand), (after, other) in pairwise(struck):
        least = FASTEST_RETURN if hand == other else FASTEST_TURN
        bound = min(bound, 60 * (after - at) / least)
    return bound


def bars_of(slots: Sequence[Mark]) -> tuple[Bar, ...]:
    """The slots as the bars of a pattern."""
    bars: list[list[list[Slot]]] = []
    for mark in slots:
        if mark.beat == mark.number == 0:
            bars.append([])
        if mark.number == 0:
            bars[-1].append([])
        if mark.struck:
            slot = _SLOTS[mark.hand, mark.muted, mark.accent]
        else:
            slot = RING if mark.sign == "-" else REST
        bars[-1][-1].append(slot)
    return tuple(tuple(tuple(beat) for beat in bar) for bar in bars)


def _beats_in(meter: Meter, slot: Mark, swing: Fraction | None) -> float:
    """When the slot is played, in counted beats from the start."""
    share = slot.number / slot.of
    if swing is not None and slot.of in (2, 4) and not meter.is_compound(slot.beat):
        long = float(swing / (swing + 1))
        share = share * 2 * long if share <= 0.5 else long + (share - 0.5) * 2 * (1 - long)
    length, starts, beats = _lengths(meter)
    return length * slot.bar + starts[slot.beat] + beats[slot.beat] * share


@cache
def _lengths(meter: Meter) -> tuple[float, tuple[float, ...], tuple[float, ...]]:
    unit = meter.unit
    starts = tuple(float(start / unit) for start in meter.starts)
    return float(meter.length / unit), starts, tuple(float(beat / unit) for beat in meter.beats)


@cache
def _weights(meter: Meter, beat: int, of: int) -> tuple[int, ...]:
    bar = tuple((RING,) * (of if k == beat else 1) for k in range(len(meter.beats)))
    return weights(Pattern((bar,), meter))[beat : beat + of]


def _ties(slots: Sequence[Mark], meter: Meter) -> bool:
    """Whether the staff ties anything: only where a beat begins with what still rings."""
    bars: dict[int, list[str]] = {}
    held: set[int] = set()
    for slot in slots:
        beats = bars.setdefault(slot.bar, [])
        if slot.number == 0:
            beats.append("")
            if slot.sign == "-":
                if slot.beat == 0:
                    return True
                held.add(slot.bar)
        beats[-1] += ("X" if slot.muted else "D") if slot.struck else slot.sign
    return any(_bar_ties(meter, tuple(bars[bar])) for bar in held)


@lru_cache(maxsize=1024)
def _bar_ties(meter: Meter, texts: tuple[str, ...]) -> bool:
    bar = tuple(tuple(_PLAIN[sign] for sign in text) for text in texts)
    return any(note.tied_from for note in notes(Pattern((bar,), meter))[0])


_PLAIN = {"D": Slot("strike", "down"), "X": Slot("strike", "down", True), "-": RING, ".": REST}
_SLOTS: dict[tuple[str, bool, bool], Slot] = {}
for _muted in (False, True):
    for _accent in (False, True):
        _SLOTS["down", _muted, _accent] = Slot("strike", "down", _muted, _accent)
        _SLOTS["up", _muted, _accent] = Slot("strike", "up", _muted, _accent)
