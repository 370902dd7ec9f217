"""Meters: the beats of a bar, how they divide, and how heavy each is.

Conventions: all lengths are Fractions of a quarter note. A simple beat divides in two (its length is a
power of two of a quarter), a compound one in three. Additive meters are written as the trade prints
them, ``2+2+3/8``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache

from .errors import PatternError

MAX_NUMERATOR = 32
_DENOMINATORS = (1, 2, 4, 8, 16)
_METER = re.compile(r"\s*(\d{1,3}(?:\s*\+\s*\d{1,3})*)\s*/\s*(\d{1,3})\s*", re.ASCII)


@dataclass(frozen=True)
class Meter:
    """A time signature: ``groups`` are the printed numerators ((4,) or, additive, (2, 2, 3))."""

    groups: tuple[int, ...]
    denominator: int

    @staticmethod
    def parse(text: str) -> Meter:
        """The meter written as ``4/4``, ``6/8`` or ``2+2+3/8``. Raises PatternError.

        >>> Meter.parse("2+2+3/8").beats
        (Fraction(1, 1), Fraction(1, 1), Fraction(3, 2))
        """
        return _parse(text)

    @property
    def text(self) -> str:
        return "+".join(map(str, self.groups)) + f"/{self.denominator}"

    @property
    def numerator(self) -> int:
        return sum(self.groups)

    @cached_property
    def length(self) -> Fraction:
        """Quarters in a bar."""
        return Fraction(4 * self.numerator, self.denominator)

    @cached_property
    def beats(self) -> tuple[Fraction, ...]:
        """Length of each beat of the bar, in quarters."""
        return tuple(beat for group in self._grouped for beat in group)

    @cached_property
    def starts(self) -> tuple[Fraction, ...]:
        """Where each beat of the bar begins, in quarters from the barline."""
        return tuple(sum(self.beats[:i], Fraction(0)) for i in range(len(self.beats)))

    @cached_property
    def strong(self) -> tuple[int, ...]:
        """Indexes of the strong beats: the first, and those that open another group or half of the bar."""
        if len(self.groups) > 1:
            sizes = [len(group) for group in self._grouped]
            if max(sizes) == 1:
                return (0,)
            return tuple(sum(sizes[:i]) for i in range(len(sizes)))
        count = len(self.beats)
        return tuple(range(0, count, 2)) if count % 4 == 0 else (0,)

    @cached_property
    def unit(self) -> Fraction:
        """The counted beat that tempo refers to, in quarters (the shortest beat of an additive bar)."""
        return min(self.beats)

    @property
    def is_additive(self) -> bool:
        return len(self.groups) > 1

    def is_compound(self, beat: int) -> bool:
        """Whether beat number ``beat`` (from 0) divides in three."""
        return self.beats[beat].numerator == 3

    @cached_property
    def _grouped(self) -> tuple[tuple[Fraction, ...], ...]:
        part = Fraction(4, self.denominator)
        return tuple(_beats(n, self.denominator, part, self.is_additive) for n in self.groups)


def _beats(count: int, denominator: int, part: Fraction, additive: bool) -> tuple[Fraction, ...]:
    if denominator <= 4 and (additive or count % 3 or count == 3 or denominator < 4):
        return (part,) * count
    if not additive:
        if count % 3 == 0:
            return (3 * part,) * (count // 3)
        if count in (1, 2, 4):
            return (part,) * count
    elif count <= 3:
        return (count * part,)
    elif count == 4:
        return (2 * part, 2 * part)
    elif count == 6:
        return (3 * part, 3 * part)
    split = "+".join(map(str, _twos_and_threes(count)))
    raise PatternError(
        f"{count}/{denominator} does not say how its beats are grouped; write it as a sum of twos and "
        f"threes, such as {split}/{denominator}",
        code="meter-grouping",
        places={"parts": count, "denominator": denominator, "split": split},
    )


def _twos_and_threes(count: int) -> tuple[int, ...]:
    threes = 1 if count % 2 else 0
    return (2,) * ((count - 3 * threes) // 2) + (3,) * threes


@lru_cache(maxsize=256)
def _parse(text: str) -> Meter:
    found = _METER.fullmatch(text) if isinstance(text, str) else None
    if not found:
        raise PatternError(
            f"{text!r} is not a meter; write beats over note value, such as 4/4, 6/8 or 2+2+3/8",
            code="meter",
            places={"meter": text},
        )
    groups = tuple(int(n) for n in found[1].split("+"))
    denominator = int(found[2])
    if denominator not in _DENOMINATORS:
        allowed = ", ".join(map(str, _DENOMINATORS))
        raise PatternError(
            f"{denominator} is not a note value a meter can count; use one of {allowed}",
            1,
            found.start(2) + 1,
            code="meter-denominator",
            places={"denominator": denominator, "allowed": allowed},
        )
    if min(groups) < 1 or sum(groups) > MAX_NUMERATOR:
        raise PatternError(
            f"a bar has 1 to {MAX_NUMERATOR} parts, this one {sum(groups)}",
            1,
            found.start(1) + 1,
            code="meter-parts",
            places={"most": MAX_NUMERATOR, "parts": sum(groups)},
        )
    meter = Meter(groups, denominator)
    _ = meter.beats  # raises where the grouping is unclear
    return meter
