"""The conditions of asking that the memory learns an effect of: one rule, for answers as they come and from
the log.

Conventions: names are plain strings. The condition without a name is the one that accuracy is told for: a
pattern never met, no more than four slots a second, and letters or arrows on the page. So a forecast without
conditions is about reading, not about remembering.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

MET = "met before"
FAST = "fast"
STAFF_ONLY = "staff only"
FAST_FROM = 4.0
"""Slots a second above which a pattern goes by fast: eighths at 120, sixteenths at 60 (our own line)."""
_SLOTS = frozenset("DUXdu-.")


def conditions_of(first_seen: bool, pattern: str, tempo: float, layers: Sequence[str]) -> tuple[str, ...]:
    """The conditions under which a pattern was read.

    pattern: its text; tempo: counted beats a minute, as it was played.

    >>> conditions_of(True, "D- DU -U DU", 90, ("letters", "staff"))
    ()
    >>> conditions_of(False, "D-DU -UDU D-DU -UDU", 80, ("counts", "staff"))
    ('met before', 'fast', 'staff only')
    """
    found = []
    if not first_seen:
        found.append(MET)
    if _slots_a_beat(pattern) * tempo / 60 > FAST_FROM:
        found.append(FAST)
    if "staff" in layers and not {"letters", "arrows"} & set(layers):
        found.append(STAFF_ONLY)
    return tuple(found)


@lru_cache(maxsize=4096)
def _slots_a_beat(pattern: str) -> float:
    """Slots in a beat on average."""
    beats = pattern.replace("|", " ").split()
    return sum(sign in _SLOTS for sign in pattern) / len(beats) if beats else 0.0
