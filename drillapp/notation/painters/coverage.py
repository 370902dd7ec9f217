"""How much of each pixel an outline covers: exact areas, so edges are smooth at any size.

Conventions: pixels, x to the right, y up, row 0 at the bottom; a coverage array has shape (rows, columns),
float32 from 0 to 1. Method: every edge adds the signed area to its right to an accumulation buffer whose
running sum along each row is the coverage (as in signed-area font rasterisers; R. Levien 2016, from memory).
Outlines of one call are filled together; their contours must not overlap with opposite direction.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Segments = NDArray[np.float64]
"""Straight edges, shape (n, 4): x1, y1, x2, y2."""

_STEPS = 10
_T = np.linspace(0.0, 1.0, _STEPS + 1)[1:, None]
_B0, _B1, _B2, _B3 = (1 - _T) ** 3, 3 * _T * (1 - _T) ** 2, 3 * _T**2 * (1 - _T), _T**3


def edges_of(commands: Sequence[tuple[str, Sequence[float]]]) -> Segments:
    """The outline's edges, its curves cut into straight pieces."""
    pieces: list[NDArray[np.float64]] = []
    points: list[tuple[float, float]] = []
    for command, values in commands:
        if command == "M":
            points = [(values[0], values[1])]
        elif command == "L":
            points.append((values[0], values[1]))
        elif command == "C":
            p0 = np.array(points[-1])
            p1, p2, p3 = np.array(values).reshape(3, 2)
            curve = _B0 * p0 + _B1 * p1 + _B2 * p2 + _B3 * p3
            points += [(float(x), float(y)) for x, y in curve]
        elif points:
            ring = np.array([*points, points[0]])
            pieces.append(np.hstack([ring[:-1], ring[1:]]))
            points = []
    return np.vstack(pieces) if pieces else np.zeros((0, 4))


@lru_cache(maxsize=1024)
def edges_of_path(path: str) -> Segments:
    """The edges of a path from the outline tables, in font units."""
    commands: list[tuple[str, Sequence[float]]] = []
    values: list[float] = []
    name = ""
    for word in path.split():
        if word in "MLCZ":
            if name:
                commands.append((name, values))
            name, values = word, []
        else:
            values.append(float(word))
    if name:
        commands.append((name, values))
    return edges_of(commands)


def coverage(edges: Segments, columns: int, rows: int) -> NDArray[np.float32]:
    """The share of each pixel inside the outline. Edges must lie within the rows and columns."""
    area = np.zeros(rows * (columns + 2))
    if len(edges):
        _accumulate(area, edges, columns, rows)
    filled = np.cumsum(area.reshape(rows, columns + 2), axis=1)[:, :columns]
    return np.minimum(np.abs(filled), 1.0).astype(np.float32)


def _accumulate(area: NDArray[np.float64], edges: Segments, columns: int, rows: int) -> None:
    x1, y1, x2, y2 = edges.T
    sloped = y1 != y2
    x1, y1, x2, y2 = x1[sloped], y1[sloped], x2[sloped], y2[sloped]
    sign = np.where(y2 > y1, 1.0, -1.0)
    swap = y1 > y2
    xa, xb = np.where(swap, x2, x1), np.where(swap, x1, x2)
    ya, yb = np.clip(np.where(swap, y2, y1), 0, rows), np.clip(np.where(swap, y1, y2), 0, rows)
    slope = (x2 - x1) / (y2 - y1)

    # One piece for each row that an edge passes.
    first = np.floor(ya).astype(np.int64)
    count = np.maximum(np.ceil(yb).astype(np.int64) - first, 1)
    which = np.repeat(np.arange(len(count)), count)
    row = first[which] + _ramp(count)
    low, high = np.maximum(ya[which], row), np.minimum(yb[which], row + 1)
    start = np.where(swap, y2, y1)
    left = xa[which] + (low - start[which]) * slope[which]
    right = xa[which] + (high - start[which]) * slope[which]
    height = np.maximum(high - low, 0.0) * sign[which]
    del xb

    # One piece for each column that it passes in that row.
    left, right = np.minimum(left, right), np.maximum(left, right)
    left, right = np.clip(left, 0, columns), np.clip(right, 0, columns)
    first = np.floor(left).astype(np.int64)
    count = np.maximum(np.ceil(right).astype(np.int64) - first, 1)
    which = np.repeat(np.arange(len(count)), count)
    column = first[which] + _ramp(count)
    lo, hi = np.maximum(left[which], column), np.minimum(right[which], column + 1)
    span = (right - left)[which]
    share = np.where(span > 1e-12, (hi - lo) / np.maximum(span, 1e-12), 1.0)
    amount = height[which] * share
    inside = (lo + hi) / 2 - column
    at = np.minimum(row[which], rows - 1) * (columns + 2) + column
    size = len(area)
    area += np.bincount(at, amount * (1 - inside), size)
    area += np.bincount(at + 1, amount * inside, size)


def _ramp(count: NDArray[np.int64]) -> NDArray[np.int64]:
    """0, 1, .. count[0]-1, 0, 1, .. count[1]-1, and so on."""
    ends = np.cumsum(count)
    ramp: NDArray[np.int64] = np.arange(ends[-1] if len(ends) else 0) - np.repeat(ends - count, count)
    return ramp
