"""A machine that listens: it hears strokes, mutes, accents and stops in samples, as published (analysis.py).

It knows what a strum is (strokes, some of them short, some of them louder, silences between them), and
nothing of how ours are made. Times in s from the first sample; levels in dB.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from analysis import mel_decibels, mel_frequencies, onset_strength, peaks
from numpy.typing import NDArray

HOP, WINDOW, BANDS, TOP = 256, 1024, 48, 12000
EDGES = (0, 300, 800, 2000, 6000)
"""Lower edges in Hz of the bands in which a stroke's colour is heard."""
RISEN = 4
"""Frames from an onset until the stroke has risen; what is heard of a stroke is heard from there."""
_TINY = 1e-10


@dataclass(frozen=True)
class Heard:
    """What was heard: each stroke's time, whether it was short, its level, and what an accent is told by."""

    times: NDArray[np.float64]
    muted: NDArray[np.bool_]
    levels: NDArray[np.float64]
    features: NDArray[np.float64]
    """One row a stroke: how loud and how bright it is beside the other strokes of this sound."""
    bands: NDArray[np.float64]
    """One row a stroke: its level in each band of EDGES."""
    stops: NDArray[np.float64]
    """Times at which a ringing sound fell silent."""


def hear(samples: NDArray[np.float32], rate: int) -> Heard:
    """Listen to mono samples that begin and end in silence."""
    samples = np.concatenate([np.zeros(rate // 2, np.float32), samples])
    decibels = mel_decibels(samples, rate, WINDOW, HOP, BANDS, TOP)
    near, around = round(0.03 * rate / HOP), round(0.1 * rate / HOP)
    frames = peaks(onset_strength(decibels, lag=2, width=3), 0.035, near, near, near, around) + RISEN
    times = frames * HOP / rate

    def level(at: float, until: float) -> NDArray[np.float64]:
        """Level of each stroke between two times after it."""
        starts = np.clip(np.round((times + at) * rate).astype(int), 0, len(samples) - 1)
        size = round((until - at) * rate)
        return np.array([10 * np.log10(np.mean(samples[s : s + size] ** 2) + _TINY) for s in starts])

    attack = level(-0.01, 0.05)
    muted = level(0.055, 0.075) - attack < -14
    bands, rises = _bands(decibels, frames)
    return Heard(
        times=times - 0.5,
        muted=muted,
        levels=attack,
        features=_features(np.column_stack([attack, bands, rises]), muted),
        bands=bands,
        stops=_stops(samples, rate, times, muted) - 0.5,
    )


def _bands(
    decibels: NDArray[np.float32], frames: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Each stroke's level in each band of EDGES, and how much it rose there."""
    edges = np.searchsorted(mel_frequencies(BANDS + 2, TOP)[1:-1], EDGES)
    power = np.add.reduceat(10 ** (decibels / 10), edges, axis=0)
    after = [10 * np.log10(power[:, frame : frame + 10].mean(axis=1) + 1e-8) for frame in frames]
    before = [
        10 * np.log10(power[:, max(0, frame - 8) : max(1, frame - 3)].mean(axis=1) + 1e-8) for frame in frames
    ]
    levels = np.array(after).reshape(-1, len(EDGES))
    return levels, np.clip(levels - np.array(before).reshape(-1, len(EDGES)), -6, 20)


def _features(table: NDArray[np.float64], muted: NDArray[np.bool_]) -> NDArray[np.float64]:
    """A row a stroke: its table beside the weakest strokes of its kind, beside like strokes, and its kind."""
    for kind in (True, False):
        if (muted == kind).any():
            table[muted == kind] -= np.quantile(table[muted == kind], 0.1, axis=0)
    return np.column_stack([table, _beside_others(table, muted), muted])


def _beside_others(table: NDArray[np.float64], muted: NDArray[np.bool_]) -> NDArray[np.float64]:
    """How much louder each stroke is than the four of most like colour, and than all of its kind."""
    level, colour = table[:, 0], table[:, 1] - table[:, 2:5].mean(axis=1)
    rows = np.zeros((len(level), 6))
    for index in range(len(level)):
        others = np.flatnonzero((muted == muted[index]) & (np.arange(len(level)) != index))
        if len(others):
            louder = level[index] - level[others]
            alike = louder[np.argsort(np.abs(colour[others] - colour[index]))[:4]]
            rows[index] = [
                *(alike.max(), alike.min(), np.median(alike)),
                *(louder.max(), louder.min(), colour[index]),
            ]
    return rows


def _stops(
    samples: NDArray[np.float32], rate: int, times: NDArray[np.float64], muted: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Where the level falls 35 dB below the loudest within 60 ms, after a stroke that is not muted."""
    frames = np.lib.stride_tricks.sliding_window_view(np.pad(samples, 256), 512)[::HOP]
    level = 20 * np.log10(np.sqrt(np.mean(frames**2, axis=1)) + 1e-7)
    silent = level < level.max() - 40
    stops = []
    for index, start in enumerate(times):
        if muted[index]:
            continue
        # That the whole sound ends is no stop.
        end = times[index + 1] if index + 1 < len(times) else len(samples) / rate - 0.08
        first, last = round((start + 0.05) * rate / HOP), round((end - 0.04) * rate / HOP)
        quiet = np.flatnonzero(silent[first:last])
        if len(quiet) and silent[first + quiet[0] : last].all():
            stops.append((first + quiet[0]) * HOP / rate)
    return np.array(stops)


DELAY = 0.0224
"""The detector's own constant delay in s, with RISEN: the median over all shipped patterns."""


def told_apart(first: Heard, second: Heard) -> str:
    """By what two sounds are told apart: strokes, times, mutes, stops, level or colour; empty if by
    nothing.
    """
    if len(first.times) != len(second.times):
        return "strokes"
    if not len(first.times):
        return ""
    if np.abs(second.times - first.times).max() > 0.025:
        return "times"
    if (first.muted != second.muted).any():
        return "mutes"
    if len(first.stops) != len(second.stops):
        return "stops"
    if len(first.stops) and np.abs(first.stops - second.stops).max() > 0.04:
        return "stops"
    level = second.levels - first.levels
    if np.abs(level - np.median(level)).max() > 2.5 or (len(level) < 4 and np.ptp(level) > 3):
        return "level"
    bands = second.bands - first.bands
    bands -= np.median(bands, axis=0)
    body, edge = bands[:, 0] - bands[:, 2:4].mean(axis=1), (bands[:, :2] - bands[:, 3:]).mean(axis=1)
    return "colour" if max(np.abs(body).max(), np.abs(edge).max()) > 2.5 else ""


def accents_by_others(groups: list[Heard], accented: list[NDArray[np.bool_]]) -> NDArray[np.bool_]:
    """Which strokes sound accented to an ear that learned on other patterns, all sounds in a row.

    ``accented`` is what was written; each fifth of the sounds is judged by what the other four teach.
    """
    from sklearn.ensemble import ExtraTreesClassifier
    from sklearn.model_selection import GroupKFold, cross_val_predict

    rows = np.concatenate([heard.features for heard in groups])
    truth = np.concatenate(accented)
    group = np.repeat(np.arange(len(groups)), [len(heard.times) for heard in groups])
    ear = ExtraTreesClassifier(150, random_state=0)
    return np.asarray(cross_val_predict(ear, rows, truth, groups=group, cv=GroupKFold(5)), bool)
