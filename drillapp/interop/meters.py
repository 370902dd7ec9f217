"""Meters as other programs' files give them."""

from __future__ import annotations

from drillapp.music import Meter, PatternError


def meter_of(text: str) -> Meter:
    """The meter written as ``7/8``: as Meter.parse does, but odd counts are twos, then a three.

    Files often do not say how an odd meter is grouped. Raises PatternError.
    """
    try:
        return Meter.parse(text)
    except PatternError:
        count, _, unit = text.partition("/")
        if not count.isdecimal() or not 4 < int(count) <= 32:
            raise
        threes = int(count) % 2
        groups = ["2"] * ((int(count) - 3 * threes) // 2) + ["3"] * threes
        return Meter.parse(f"{'+'.join(groups)}/{unit}")
