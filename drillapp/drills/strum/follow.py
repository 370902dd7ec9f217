"""Following a player: which stroke was meant for which slot.

Monotone alignment by dynamic programming (Needleman and Wunsch 1970; Sakoe and Chiba 1978) over slots and
strokes. Each slot takes one stroke or none; a stroke that no slot takes is a stray. Costs are negative
logarithms of how likely things are, so the cheapest path is the likeliest reading: strokes fall about where
they are due with the spread of published tapping data (see ``timing``), and what goes wrong goes
wrong now and then. While it follows, every path keeps a Kalman filter (Kalman 1960) of its own offset and
tempo, so that a constant lead and a slow drift cost nothing; on the second pass offset and tempo are known
and it stands still.

Conventions: seconds; offsets are played minus written time.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter
from typing import Any

from . import timing as usual

# What goes wrong, as -ln of its odds. One stroke in twenty misread is what a learner does at the edge of
# what they can read (expected accuracy 0.95 a slot is about 0.5 a bar of sixteenths).
_ODDS = 3.0  # 1 in 20
LEFT_OUT_COST = _ODDS
EXTRA_COST = _ODDS  # in a slot that is not struck
WRONG_HAND_COST = _ODDS
WRONG_MUTE = _ODDS
STRAY = 5.5  # off every slot: 1 in 100, at a moment anywhere within a slot rather than within a spread
OUT_OF_TIME = 4.5  # 1 in 90: early or late by anything up to half way to the next slot
FARTHEST = 14.0  # dearer than leaving a slot out and striking two others: never the best
BEAM = 12.0  # paths so much dearer than the best one do not come back

_SWAY = 0.01**2  # offset's random walk: 10 ms over a second
_TEMPO_SWAY = 0.01**2  # tempo's random walk: 1 % over a second


@dataclass(frozen=True)
class Due:
    """A slot to be played: when, what, and how far before and after it is nearer than its neighbours."""

    at: float
    struck: bool
    hand: str | None
    muted: bool
    before: float
    after: float


@dataclass(frozen=True)
class Outlook:
    """What is known before following: mean and SD of the offset (s), SD of the tempo, whether they sway."""

    offset: float = 0.0
    offset_spread: float = 0.0
    slope_spread: float = 0.0
    sways: bool = False


UNKNOWN = Outlook(-usual.USUAL_LEAD, usual.LEAD_SPREAD, usual.SLOPE_SPREAD, True)
STEADY = Outlook(-usual.USUAL_LEAD, usual.LEAD_SPREAD, usual.STEADY_SLOPE, True)


@dataclass(frozen=True)
class Path:
    """The likeliest reading: for each slot the index of its stroke or None, the strays, and its cost.

    ``after`` holds the strokes that came after the last slot; they are not judged.
    """

    taken: tuple[int | None, ...]
    strays: tuple[int, ...]
    after: tuple[int, ...]
    cost: float


# A path so far: cost; offset and slope, and their covariance; up to when; its matches, the last one first.
_Link = tuple[Any, int, int]  # earlier link or None, slot, stroke
_Cell = tuple[float, float, float, float, float, float, float, "_Link | None"]
_Row = dict[int, _Cell]  # how many strokes are used up -> the best path there


def follow(
    due: Sequence[Due],
    times: Sequence[float],
    hands: Sequence[str],
    muted: Sequence[bool],
    spread: float,
    outlook: Outlook = UNKNOWN,
) -> Path:
    """The likeliest reading of strokes at ``times`` (ascending, s) as a performance of the slots ``due``.

    ``spread``: SD (s) of a stroke about its moment. Takes time in proportion to the slots and the strokes.
    """
    if not due:
        return Path((), (), tuple(range(len(times))), 0.0)
    p00, p11 = outlook.offset_spread**2, outlook.slope_spread**2
    row: _Row = {0: (0.0, outlook.offset, 0.0, p00, 0.0, p11, due[0].at, None)}
    for number, slot in enumerate(due):
        _pass_strays(row, times, slot, spread**2)
        row = _play(row, number, slot, times, hands, muted, spread**2, outlook.sways)
    end = due[-1].at + due[-1].after
    ends = []
    for j, cell in row.items():
        used = j
        while used < len(times) and times[used] - cell[1] < end:
            used += 1
        ends.append((cell[0] + STRAY * (used - j), used, cell))
    cost, used, cell = min(ends, key=itemgetter(0))
    return _path(cell, cost, used, len(due), len(times))


def _pass_strays(row: _Row, times: Sequence[float], slot: Due, noise: float) -> None:
    """Let paths leave aside strokes that came before the middle between this slot and the next.

    Strokes that came too early for this slot must be left aside.
    """
    until, since = slot.at + slot.after, slot.at - slot.before
    farthest = max(row)
    for j in range(min(row), len(times)):
        if j > farthest:
            break
        cell = row.get(j)
        if cell is None:
            continue
        moment = times[j] - cell[1]
        if moment >= until:
            continue
        cost = cell[0] + STRAY
        other = row.get(j + 1)
        if other is None or cost < other[0]:
            row[j + 1] = (cost, *cell[1:])
            farthest = max(farthest, j + 1)
        early = slot.at - moment
        if moment < since and early * early > 2 * FARTHEST * (noise + cell[3]):
            del row[j]


def _play(
    row: _Row,
    number: int,
    slot: Due,
    times: Sequence[float],
    hands: Sequence[str],
    muted: Sequence[bool],
    noise: float,
    sways: bool,
) -> _Row:
    """The paths after this slot, which takes the next stroke or none."""
    q0, q1 = (_SWAY, _TEMPO_SWAY) if sways else (0.0, 0.0)
    passing = LEFT_OUT_COST if slot.struck else 0.0
    strokes = len(times)
    limit = min(cell[0] for cell in row.values()) + passing + BEAM
    ahead: _Row = {}
    for j, (cost, offset, slope, p00, p01, p11, last, link) in row.items():
        passed = cost + passing
        if passed <= limit:
            other = ahead.get(j)
            if other is None or passed < other[0]:
                ahead[j] = (passed, offset, slope, p00, p01, p11, last, link)
        if j == strokes:
            continue
        step = slot.at - last
        offset += slope * step
        off = times[j] - slot.at - offset
        p00 += step * (2 * p01 + step * p11 + q0)
        total = p00 + noise
        timing = off * off / (2 * total)
        lost = False
        if timing > OUT_OF_TIME:
            lost = -slot.before <= off <= slot.after
            if lost:
                timing = OUT_OF_TIME
            elif timing > FARTHEST:
                continue
        if p00:
            timing += 0.5 * math.log(total / noise)
        if not slot.struck:
            cost += EXTRA_COST + timing
        else:
            cost += timing
            if hands[j] != slot.hand:
                cost += WRONG_HAND_COST
            if muted[j] != slot.muted:
                cost += WRONG_MUTE
        other = ahead.get(j + 1)
        if cost > limit or (other is not None and other[0] <= cost):
            continue
        if p00:
            p01 += step * p11
            p11 += step * q1
            if not lost:  # a stroke out of time says nothing of the player's lead and tempo
                k0, k1 = p00 / total, p01 / total
                offset, slope = offset + k0 * off, slope + k1 * off
                p00, p01, p11 = p00 - k0 * p00, p01 - k0 * p01, p11 - k1 * p01
        ahead[j + 1] = (cost, offset, slope, p00, p01, p11, slot.at, (link, number, j))
    best = min(cell[0] for cell in ahead.values()) + BEAM
    return {j: cell for j, cell in ahead.items() if cell[0] <= best}


def _path(cell: _Cell, cost: float, used: int, slots: int, strokes: int) -> Path:
    taken: list[int | None] = [None] * slots
    link = cell[7]
    while link is not None:
        link, number, j = link
        taken[number] = j
    matched = {j for j in taken if j is not None}
    strays = tuple(j for j in range(used) if j not in matched)
    return Path(tuple(taken), strays, tuple(range(used, strokes)), cost)
