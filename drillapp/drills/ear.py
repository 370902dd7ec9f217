"""What the ear can tell apart: how two patterns differ in sound at their tempo.

Conventions: seconds from the first beat. The bounds are wider than published thresholds (time shifts in
a sequence 6 ms or 2.5 %, Friberg and Sundberg 1995; order of onsets about 20 ms, Hirsh 1959, from
memory), since a learner compares two sounds from memory and not side by side.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest

from drillapp.music import Pattern

SHIFT = 0.045  # s: a stroke moved by less than this may pass unnoticed
SILENCE = 0.12  # s: a stop shorter than this before the next stroke may pass unnoticed


def heard_apart(first: Pattern, second: Pattern) -> bool:
    """Whether the two sound different: another stroke, mute, accent, hand, moment, stop or length."""
    pairs = zip_longest(_events(first), _events(second))
    return any(a is None or b is None or a[1:] != b[1:] or abs(a[0] - b[0]) >= SHIFT for a, b in pairs)


def _events(pattern: Pattern) -> Iterator[tuple[float, str, bool, bool]]:
    """Strokes, audible stops and the end, in order: (second, what, muted, accented)."""
    # Candidates are equally loud, so an accent is heard only beside a stroke without one.
    told = not all(stroke.accent for stroke in pattern.strokes)
    struck = [
        (pattern.seconds(stroke.at), stroke.hand, stroke.muted, stroke.accent and told)
        for stroke in pattern.strokes
    ]
    end = pattern.seconds(pattern.length)
    onsets = [event[0] for event in struck] + [end]
    stops = []
    for at in pattern.stops:
        second = pattern.seconds(at)
        if min(onset for onset in onsets if onset >= second) - second >= SILENCE:
            stops.append((second, "stop", False, False))
    yield from sorted([*struck, *stops])
    yield end, "end", False, False
