"""Which strokes a player accented, by their own force.

Conventions: force from 0 to 1, compared in decibels (20 log10), since loudness is heard by ratios. An accent
is a little louder, 3 to 5 dB (common practice, no source); a step of about 1 dB is just heard (Jesteadt, Wier
and Green, Journal of the Acoustical Society of America 61, 1977). Two classes with one spread and known odds
are told apart by Bayes' rule (linear discriminant, Fisher 1936).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import median

USUAL_STEP = 4.0  # dB: the middle of 3 to 5
LEAST_STEP = 2.0  # dB: what a player calls an accent is at least two just heard steps louder
HEARD = 1.5  # dB above plain: half of the least usual accent, so more likely one than not
USUAL_SPREAD = 1.0  # dB: SD of strokes meant to be alike, one just heard step
MOST_SPREAD = 3.0  # dB
_ODDS = 3.0  # -ln of the odds that an accent is misread: 1 in 20, as for the other signs
_PRIOR_WEIGHT = 4  # the usual spread counts like so many strokes
_ENOUGH = 4  # plain strokes of each hand, before a difference between the hands is allowed for
_SOFTEST = 0.02  # force below which there is no telling
_MAD = 1.4826  # SD of a normal distribution over its median absolute deviation


def accented(
    written: Sequence[bool], forces: Sequence[float], hands: Sequence[str]
) -> tuple[bool | None, ...]:
    """For each stroke whether it was played accented; None where it cannot be told.

    ``written``: whether the page has an accent there. It cannot be told where every stroke is written
    accented, since there is nothing to compare with.

    >>> accented((True, False, False, True), (0.9, 0.6, 0.62, 0.6), ("down", "up", "down", "up"))
    (True, False, False, False)
    """
    levels = _levels(written, forces, hands)
    plain = [level for level, accent in zip(levels, written, strict=True) if not accent]
    marked = [level for level, accent in zip(levels, written, strict=True) if accent]
    if not plain:
        return (None,) * len(levels)
    base = median(plain)
    made = [level for level in marked if level - base > HEARD]
    step = max(LEAST_STEP, median(made) - base) if made else USUAL_STEP
    off = [abs(level - base) for level in plain] + [abs(level - base - step) for level in made]
    own = _MAD * median(off)
    variance = (_PRIOR_WEIGHT * USUAL_SPREAD**2 + len(off) * own**2) / (_PRIOR_WEIGHT + len(off))
    shift = min(variance, MOST_SPREAD**2) * _ODDS / step
    return tuple(
        level - base > step / 2 + (-shift if accent else shift)
        for level, accent in zip(levels, written, strict=True)
    )


def _levels(written: Sequence[bool], forces: Sequence[float], hands: Sequence[str]) -> list[float]:
    """Force in dB, less what one hand direction is louder than the other among plain strokes."""
    levels = [20 * math.log10(max(force, _SOFTEST)) for force in forces]
    plain = {
        hand: [
            level
            for level, accent, other in zip(levels, written, hands, strict=True)
            if other == hand and not accent
        ]
        for hand in ("down", "up")
    }
    fewest = min(map(len, plain.values()))
    if fewest < _ENOUGH:
        return levels
    # Shrunk, so that the noise of a few strokes is not taken for a difference.
    lighter = (median(plain["down"]) - median(plain["up"])) * fewest / (fewest + _ENOUGH)
    return [level + lighter * (hand == "up") for level, hand in zip(levels, hands, strict=True)]
