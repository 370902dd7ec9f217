"""When did it happen? Effective times, for devices whose clock was set back or forward.

Conventions: UTC seconds. Each device numbers its own answers 1, 2, 3 ..., and the numbers decide the order.
Rule: of a device's clock readings in order of number, the longest run that never goes back is believed; an
answer outside it gets the time of the believed one before it (before the first, that of the first believed
one). So one wrong clock setting neither reorders answers nor moves the others, whichever way it was wrong,
and times depend only on which answers there are, not on the order in which they were collected.
A clock that was years ahead and was then set right is told from one that was set back by mistake by where it
lands: in the years that there has been a drillapp. Days are then counted instead of answers, and of as many
days the later ones are believed, so that a first sitting far ahead does not hold those after it.
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
    believed = _believed(readings)
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


DAY = 86_400.0
FIRST_YEAR = 1_735_689_600.0
"""2025-01-01 00:00 UTC: no answer is older than the app."""
FAR = 365 * DAY


def is_behind(reading: float, latest: float) -> bool:
    """Whether a reading shows that the latest one before it was far ahead, rather than being wrong itself."""
    return FIRST_YEAR <= reading < latest - FAR


def _believed(readings: Sequence[float]) -> list[int]:
    latest = 0.0
    ahead = False
    falls = False
    for reading in readings:
        falls = falls or reading < latest
        ahead = ahead or is_behind(reading, latest)
        latest = max(latest, reading)
    if not falls:
        return list(range(len(readings)))
    if not ahead:
        return _longest_run(readings)
    places = _of_most_days(readings)
    return [places[index] for index in _longest_run([readings[place] for place in places])]


def _of_most_days(readings: Sequence[float]) -> list[int]:
    """The places of the readings on the longest run of rising days, and of those between its days."""
    days = [reading // DAY for reading in readings]
    tops: list[
        int
    ] = []  # for each length the place where the run of that length ends earliest, and latest given
    before: list[int] = []
    heights: list[float] = []
    for place, day in enumerate(days):
        length = bisect_left(heights, day)
        before.append(tops[length - 1] if length else -1)
        if length == len(heights):
            heights.append(day)
            tops.append(place)
        elif heights[length] != day:
            heights[length] = day
            tops[length] = place
    run = []
    place = tops[-1]
    while place >= 0:
        run.append(place)
        place = before[place]
    run.reverse()
    found = []
    low, upcoming = -1.0, 0
    for place, day in enumerate(days):
        if upcoming < len(run) and place == run[upcoming]:
            low, upcoming = day, upcoming + 1
        high = days[run[upcoming]] if upcoming < len(run) else None
        if low <= day and (day <= high if high is not None else day == low):
            found.append(place)
    return found


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
