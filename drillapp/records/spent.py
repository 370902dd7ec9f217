"""The time that an answer took of a learner's day: one rule, for whoever counts minutes."""

from __future__ import annotations

LOOK_SECONDS = 12.0  # of a question, for looking at the explanation
SLOWEST = 120.0  # s that a question is taken to need at most: what is longer was a pause


def spent(seconds: float) -> int:
    """Milliseconds of an answer that took so many seconds, with a look at its explanation.

    >>> spent(8.0), spent(3600.0)
    (20000, 120000)
    """
    return round(1000 * min(seconds + LOOK_SECONDS, SLOWEST))
