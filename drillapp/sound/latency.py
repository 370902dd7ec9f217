"""How late sound is heard and touches arrive, estimated from taps against clicks.

Conventions: times in s on one clock, as the app saw them: a click's time is when its playing was asked for,
a tap's when it came in. The latency is what a tap in time with what is heard comes late by; it is positive
where sound or touch are late. Median and spread are taken so that a stray tap does not move them.

People tap a little before what they hear: some 20 to 80 ms untrained, 0 to 30 ms musicians (negative mean
asynchrony: Aschersleben, Brain and Cognition 48, 2002; Repp, Psychonomic Bulletin and Review 12(6), 2005;
Repp and Su, 20(3), 2013; figures from memory). The estimate does not take this out: it is how late player
and touch are *less* the tapper's own lead, so that a strum by the same hand comes out with the click. With
another hand what is left is the difference between two people, tens of ms at most, constant through a take;
the grader of strums takes any such constant lead off and never counts it as a misreading.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import median

import numpy as np
from numpy.typing import NDArray

from drillapp.sound.clicks import click

TOO_FEW, UNEVEN, FAR_OFF = "too few", "uneven", "far off"
FEWEST = 8
"""Taps below which nothing is estimated."""
WIDEST = 0.040
"""Spread in s above which the taps do not agree (untrained tappers: 4 % of the interval, from memory)."""
NEAR = 0.050
"""Three quarters of the taps lie within this time in s of their median, where they agree."""
FURTHEST = 0.5
"""Latency in s above which something else is wrong."""
TAKES = 4
"""So many takes in a row say whether a latency still holds."""
OFF = 0.06
"""Lead or lag in s that a calibration leaves at most: people differ by less, when one taps for another."""
OFF_UNKNOWN = 0.1
"""The same where nothing was calibrated: above what any hand leads by, and a usual player is unsure by."""


@dataclass(frozen=True)
class Calibration:
    """An estimate: ``latency`` and its ``spread`` in s (as a standard deviation), from ``taps`` taps.

    ``error`` is the latency's own uncertainty in s; ``refusal`` is why the estimate cannot be used (TOO_FEW,
    UNEVEN or FAR_OFF), empty where it can; ``near``: the share of the taps within NEAR of their middle.
    """

    latency: float
    spread: float
    taps: int
    refusal: str = ""
    near: float = 1.0

    @property
    def error(self) -> float:
        """Standard error in s of the median of normally spread taps."""
        return 1.2533 * self.spread / sqrt(max(1, self.taps))


def calibrate(clicks: Sequence[float], taps: Sequence[float]) -> Calibration:
    """The latency that taps in time with clicks show; see ``Calibration.refusal``.

    ``clicks`` and ``taps`` in s, clicks evenly spaced. A tap belongs to the click that it follows by up to
    three quarters of their interval, or leads by less than a quarter; a click's first tap counts. The first
    two clicks only give the pace. Raises ValueError where there are fewer than four clicks or they are not
    in order.
    """
    times = np.asarray(sorted(taps), np.float64)
    marks = np.asarray(clicks, np.float64)
    if len(marks) < 4 or (np.diff(marks) <= 0).any():
        raise ValueError("clicks must be at least four times in order")
    interval = float(np.median(np.diff(marks)))
    late = []
    for mark in marks[2:]:
        own = times[(times >= mark - interval / 4) & (times < mark + 3 * interval / 4)]
        if len(own):
            late.append(float(own[0]) - float(mark))
    if len(late) < FEWEST:
        return Calibration(0.0, 0.0, len(late), TOO_FEW)
    latency = float(np.median(late))
    spread = 1.4826 * float(np.median(np.abs(np.array(late) - latency)))
    near = float(np.mean(np.abs(np.array(late) - latency) <= NEAR))
    return Calibration(latency, spread, len(late), _refusal(latency, spread, near), near)


def _refusal(latency: float, spread: float, near: float) -> str:
    if spread > WIDEST or near < 0.75:
        return UNEVEN
    return FAR_OFF if abs(latency) > FURTHEST else ""


def looks_off(leads: Sequence[float], calibrated: Calibration | None) -> bool:
    """Whether takes show that a latency does not hold: the last TAKES of them are all off to one side.

    ``leads`` in s, one a take in order, positive early, the latency in use taken off; ``calibrated`` None
    where that is the player's own word. A single hasty take, or takes off to either side, say nothing.
    """
    last = list(leads)[-TAKES:]
    if len(last) < TAKES:
        return False
    bound = OFF_UNKNOWN if calibrated is None else OFF + 2 * calibrated.error
    middle = median(last)
    alike = all(lead * middle > 0 and abs(lead) > bound / 2 for lead in last)
    return alike and abs(middle) > bound


def calibration_clicks(
    count: int = 14, interval: float = 0.6, rate: int = 44100
) -> tuple[NDArray[np.float32], tuple[float, ...]]:
    """Clicks to tap along with, and the time in s of each from the sound's start; the first is marked."""
    samples = np.zeros(round(count * interval * rate), np.float32)
    times = tuple(index * interval for index in range(count))
    for index, time in enumerate(times):
        knock = click(rate, index == 0)
        start = round(time * rate)
        samples[start : start + len(knock)] += knock[: len(samples) - start]
    return samples, times
