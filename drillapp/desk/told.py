"""What can be told of a sign from what was read of it: nothing, too little, its range, that it is weak."""

from __future__ import annotations

from drillapp.learning.expected import WIDEST

from .class_table import LINE
from .counts import Share

NOT_READ, UNSURE, TOLD, WEAK = range(4)


def told(share: Share, weak: bool) -> int:
    """One of the four; ``weak``: it was named so."""
    if not share.count:
        return NOT_READ
    if weak:
        return WEAK
    return TOLD if share.high - share.low <= WIDEST else UNSURE


def goes_well(share: Share, weak: bool) -> bool:
    """Whether it is told, is not weak, and is read right as often as a class should.

    Judged by the tenths that are told, so that equal figures are judged alike.
    """
    return told(share, weak) == TOLD and round(10 * share.middle) >= round(10 * LINE)
