"""When did it happen? Effective times, for devices whose clock was set back or forward.

Conventions: UTC seconds. Each device numbers its own answers 1, 2, 3 ..., and the numbers decide the order.
Rule: of a device's clock readings in order of number, the longest run that never goes back is believed; an
answer outside it gets the time of the believed one before it (before the first, that of the first believed
one). So one wrong clock setting neither reorders answers nor moves the others, whichever way it was wrong,
and times depend only on which answers there are, not on the order in which they were collected.
Source: longest non-decreasing subsequence by patience sorting (C. Schensted, 1961; M. L. Fredman, 1975).
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence


def effective(readings: Sequence[float]) -> list[float]:
    """The effective times of one device's clock readings, in order of number; they never go back.

    >>> effective([10.0, 20.0, 5.0, 6.0, 30.0])
    [10.0, 20.0, 20.0, 20.0, 30.0]
    """
    believed = _longest_run(readings)
    times: list[float] = []
    current = readings[believed[0]] if believed else 0.0
    run = iter(believed)
    nearest = next(run, None)
    for index, reading in enumerate(readings):
        if index == nearest:
            current = reading
            nearest = next(run, None)
        times.append(current)
    return times


def _longest_run(readings: Sequence[float]) -> list[int]:
    # Pile k holds the readings whose longest run has k + 1 members; down a pile the values fall. Of equally
    # long runs the one that came first is taken, so what was believed stays so until more speaks against it.
    piles: list[list[int]] = []
    tops: list[float] = []
    falling: list[list[float]] = []
    before: list[int] = []
    for index, reading in enumerate(readings):
        pile = bisect_right(tops, reading)
        if pile == len(piles):
            piles.append([])
            tops.append(reading)
            falling.append([])
        before.append(piles[pile - 1][bisect_left(falling[pile - 1], -reading)] if pile else -1)
        piles[pile].append(index)
        tops[pile] = reading
        falling[pile].append(-reading)
    run: list[int] = []
    index = piles[-1][0] if piles else -1
    while index >= 0:
        run.append(index)
        index = before[index]
    return run[::-1]
