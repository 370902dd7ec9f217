"""How fresh patterns compare with written ones, in numbers.

``measures`` describes one pattern by musical habit: how often each kind of place is struck, how syncopated
and how dense it is, how its phrase begins, repeats and ends. Shares run from 0 to 1.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from statistics import mean, pstdev

from drillapp.music.difficulty import against_the_hand, difficulty
from drillapp.music.feature_table import FEATURES
from drillapp.music.features import features_of, place_feature
from drillapp.music.pattern import Pattern, Place
from drillapp.music.syncopation import syncopation

from .fit import signs_of
from .make import fresh

#: Features that say for themselves whether a pattern shows a sign of them.
SIGNS = tuple(feature for feature in FEATURES if feature not in ("beat", "offbeat", "meter"))


def measures(pattern: Pattern) -> dict[str, float]:
    """One pattern in numbers; the same keys for every pattern, 0 where a kind of place is not in it."""
    places = pattern.places
    beats = len(pattern.bars) * len(pattern.meter.beats)
    struck = [place for place in places if place.struck]
    found: dict[str, float] = {
        "bars": float(len(pattern.bars)),
        "beats a bar": float(len(pattern.meter.beats)),
        "strokes a beat": len(struck) / beats,
        "syncopation a bar": syncopation(pattern) / len(pattern.bars),
        "difficulty": difficulty(pattern),
        "muted strokes": _share(place.slot.muted for place in struck),
        "accented strokes": _share(place.slot.accent for place in struck),
        "strokes against the hand": _share(map(against_the_hand, struck)),
        "silent places": _share(place.slot.action == "rest" for place in places),
        "bars like the first": _share(bar == pattern.bars[0] for bar in pattern.bars[1:]),
        "beats like the one before": _share(a == b for a, b in _neighbours(pattern)),
        "last beat struck": float(any(slot.action == "strike" for slot in pattern.bars[-1][-1])),
        "last beat busy": float(sum(slot.action == "strike" for slot in pattern.bars[-1][-1])),
        "first beat busy": float(sum(slot.action == "strike" for slot in pattern.bars[0][0])),
        "later bars begun": _share(bar[0][0].action == "strike" for bar in pattern.bars[1:]),
    }
    for name in ("strong beat", "weak beat", "offbeat", "sixteenth", "triplet", "compound"):
        found[f"{name} struck"] = _share(place.struck for place in places if _kind(pattern, place) == name)
    for name in ("strong beat", "weak beat", "offbeat"):
        those = [place for place in struck if _kind(pattern, place) == name]
        found[f"{name} accented"] = _share(place.slot.accent for place in those)
        found[f"{name} muted"] = _share(place.slot.muted for place in those)
    present = features_of(pattern)
    return found | {f"shows {sign}": float(sign in present) for sign in SIGNS}


def counterparts(written: Sequence[Pattern], seed: int = 0) -> tuple[Pattern, ...]:
    """For each written pattern a fresh one: the same signs and meter, as difficult, and none of these.

    Where nothing new can be made with those signs (three plain beats in 7/8), there is none.
    """
    made = []
    for number, pattern in enumerate(written):
        try:
            made.append(
                fresh(signs_of(pattern), pattern.meter, difficulty(pattern), f"{seed}-{number}", written)
            )
        except ValueError:
            continue
    return tuple(made)


def table(written: Sequence[Pattern], made: Sequence[Pattern]) -> tuple[tuple[str, float, float, float], ...]:
    """For each measure: its name, its mean over the written and the made patterns, and how far these lie
    apart in standard deviations of the written ones (0 where they do not vary)."""
    ours, theirs = [measures(p) for p in written], [measures(p) for p in made]
    rows = []
    for name in ours[0]:
        a, b = [row[name] for row in ours], [row[name] for row in theirs]
        spread = pstdev(a)
        rows.append((name, mean(a), mean(b), (mean(b) - mean(a)) / spread if spread else 0.0))
    return tuple(rows)


def by_slot(patterns: Iterable[Pattern], meter: str, of: int) -> tuple[float, ...]:
    """How often each place of a bar of ``meter`` is struck, on a grid of ``of`` slots a beat."""
    counts: dict[int, list[bool]] = {}
    for pattern in patterns:
        if pattern.meter.text != meter:
            continue
        for place in pattern.places:
            if place.number * of % place.of == 0:
                counts.setdefault(place.beat * of + place.number * of // place.of, []).append(place.struck)
    return tuple(_share(counts[slot]) for slot in sorted(counts))


def _kind(pattern: Pattern, place: Place) -> str:
    feature = place_feature(pattern, place)
    if feature != "beat":
        return feature
    return "strong beat" if place.beat in pattern.meter.strong else "weak beat"


def _neighbours(pattern: Pattern) -> list[tuple[object, object]]:
    beats = [beat for bar in pattern.bars for beat in bar]
    return list(pairwise(beats))


def _share(truths: Iterable[bool]) -> float:
    found = list(truths)
    return sum(found) / len(found) if found else 0.0
