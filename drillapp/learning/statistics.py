"""Accuracy with its uncertainty: intervals, correction for guessing, d', trend.

Conventions: counts are whole numbers, accuracies from 0 to 1, confidence is two-sided (0.95 unless given).
Sources: Wilson 1927 (interval; Newcombe 1998, method 3); Hacker and Ratcliff 1979 (d' of M-alternative forced
choice); Green and Swets 1966 (yes/no d'); White 1980 with MacKinnon and White's small-sample factor (trend).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from drillapp.learning.times import WEEK

_NORMAL = NormalDist()
_GRID = np.linspace(-9.0, 9.0, 1801)
_DENSITY = np.exp(-_GRID * _GRID / 2) / math.sqrt(2 * math.pi)
_LOG_CDF = np.log(np.array([max(_NORMAL.cdf(float(x)), 1e-300) for x in np.linspace(-18.0, 30.0, 4801)]))


@dataclass(frozen=True)
class Interval:
    """A value with the low and high end of its interval and the count behind it."""

    value: float
    low: float
    high: float
    count: int


@dataclass(frozen=True)
class Trend:
    """Change of accuracy a week with its interval; direction: "up", "down", or "steady" (could be either)."""

    change: float
    low: float
    high: float
    direction: str


def wilson(right: int, count: int, confidence: float = 0.95) -> Interval:
    """The share of right answers with Wilson's score interval; (0, 1) around 0.5 where there is no answer.

    Raises ValueError unless 0 <= right <= count and 0 < confidence < 1.

    >>> interval = wilson(81, 263)
    >>> round(interval.low, 4), round(interval.high, 4)
    (0.2553, 0.3662)
    """
    if not 0 <= right <= count:
        raise ValueError(f"right must be from 0 to count ({count}), not {right}")
    if not 0 < confidence < 1:
        raise ValueError(f"confidence must be between 0 and 1, not {confidence}")
    if count == 0:
        return Interval(0.5, 0.0, 1.0, 0)
    share = right / count
    z = _NORMAL.inv_cdf((1 + confidence) / 2)
    scale = 1 + z * z / count
    middle = (share + z * z / (2 * count)) / scale
    reach = z * math.sqrt(share * (1 - share) / count + z * z / (4 * count * count)) / scale
    return Interval(
        share,
        0.0 if right == 0 else max(0.0, middle - reach),
        1.0 if right == count else min(1.0, middle + reach),
        count,
    )


def corrected(right: int, count: int, guess: float, confidence: float = 0.95) -> Interval:
    """Accuracy without guessing, (share - guess) / (1 - guess), with Wilson's interval carried over; all in
    [0, 1].

    guess: mean guess rate of the answers, in [0, 1); else ValueError.

    >>> corrected(75, 100, guess=0.5).value
    0.5
    """
    if not 0 <= guess < 1:
        raise ValueError(f"guess must be in [0, 1), not {guess}")
    plain = wilson(right, count, confidence)

    def carry(share: float) -> float:
        return min(max((share - guess) / (1 - guess), 0.0), 1.0)

    if count == 0:
        return plain
    return Interval(carry(plain.value), carry(plain.low), carry(plain.high), count)


def d_prime_choice(share: float, ways: int, count: int | None = None) -> float:
    """d' from the share right in a forced choice between so many ways; 0 at or below chance.

    Hacker and Ratcliff 1979.
    share: in [0, 1]; 1 is infinite unless count is given, with which it is held to at most 1 - 1 / (2 count).

    >>> round(d_prime_choice(0.75, 2), 4)
    0.9539
    """
    _check_ways(ways)
    if not 0 <= share <= 1:
        raise ValueError(f"share must be from 0 to 1, not {share}")
    if count is not None:
        if count < 1:
            raise ValueError(f"count must be at least 1, not {count}")
        share = min(share, 1 - 1 / (2 * count))
    if share <= 1 / ways:
        return 0.0
    if share == 1:
        return math.inf
    low, high = 0.0, 12.0
    for _ in range(60):
        middle = (low + high) / 2
        if choice_share(middle, ways) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def choice_share(d_prime: float, ways: int) -> float:
    """The share right that a d' gives in a forced choice between m ways.

    The integral of phi(x - d') Phi(x)^(m - 1) over x (Hacker and Ratcliff 1979).

    >>> round(choice_share(1.0, 4), 5)
    0.55203
    """
    _check_ways(ways)
    places = (_GRID + d_prime + 18.0) * 100.0
    left = np.clip(places.astype(int), 0, 4799)
    log_cdf = _LOG_CDF[left] + (places - left) * (_LOG_CDF[left + 1] - _LOG_CDF[left])
    values = _DENSITY * np.exp((ways - 1) * log_cdf)
    return float((values.sum() - (values[0] + values[-1]) / 2) * 0.01)


def d_prime_yes_no(hits: int, signals: int, false_alarms: int, noises: int) -> float:
    """d' = z(H) - z(F) of yes/no answers, rates held away from 0 and 1 by half an answer.

    Raises ValueError unless 0 <= hits <= signals, 0 <= false_alarms <= noises and both kinds of trial were
    asked.

    >>> round(d_prime_yes_no(80, 100, 20, 100), 4)
    1.6832
    """
    if not 0 <= hits <= signals or not 0 <= false_alarms <= noises:
        raise ValueError("hits must be from 0 to signals and false_alarms from 0 to noises")
    if not signals or not noises:
        raise ValueError("d' needs both kinds of trial: sign present and sign absent")
    return _NORMAL.inv_cdf(_inside(hits, signals)) - _NORMAL.inv_cdf(_inside(false_alarms, noises))


def trend(seconds: Sequence[float], correct: Sequence[bool], guess: float = 0.0) -> Trend:
    """Change of guess-corrected accuracy a week: least squares with heteroscedasticity-proof errors (HC1),
    95 %.

    Steady with an interval of (-1, 1) where fewer than three answers or no two times are given.
    """
    if len(seconds) != len(correct):
        raise ValueError(f"seconds and correct must be of one length, not {len(seconds)} and {len(correct)}")
    x = np.asarray(seconds, dtype=float) / WEEK
    y = np.asarray(correct, dtype=float)
    if len(x) < 3 or float(np.ptp(x)) == 0:
        return Trend(0.0, -1.0, 1.0, "steady")
    x = x - x.mean()
    spread = float(x @ x)
    slope = float(x @ y) / spread
    rest = y - y.mean() - slope * x
    error = math.sqrt(float((x * rest) @ (x * rest)) * len(x) / (len(x) - 2)) / spread
    scale = 1 / (1 - guess)
    low, high = (slope - 1.959964 * error) * scale, (slope + 1.959964 * error) * scale
    return Trend(slope * scale, low, high, "up" if low > 0 else "down" if high < 0 else "steady")


def _check_ways(ways: int) -> None:
    if ways < 2:
        raise ValueError(f"ways must be at least 2, not {ways}")


def _inside(part: int, whole: int) -> float:
    return min(max(part / whole, 1 / (2 * whole)), 1 - 1 / (2 * whole))
