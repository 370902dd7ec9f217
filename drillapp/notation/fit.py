"""Choose how large a page is set so that it fills the room there is."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from drillapp.music import Pattern
from drillapp.notation.display import DisplayList
from drillapp.notation.engraver import engrave

SQUEEZE = 0.82
"""How far below its natural width a line may be set to gain size."""


def fit(
    pattern: Pattern,
    layers: Iterable[str],
    width: float,
    height: float,
    *,
    largest: float | None = None,
    **options: Any,
) -> tuple[DisplayList, float]:
    """The page set as large as ``width`` by ``height`` (pixels) allows, and the pixels of a staff space.

    Tries every number of bars on a line. ``largest``: no more pixels to a staff space than this; ``options``:
    those of ``engrave`` except width and bars_per_line. The page fills the width where the height allows.
    Raises ValueError for sizes that are not positive, and as ``engrave`` does.
    """
    if width <= 0 or height <= 0:
        raise ValueError(f"a page needs a positive width and height, not {width} by {height}")
    shown = tuple(layers) if not isinstance(layers, str) else (layers,)
    bars = len(pattern.bars)
    best_space, best_bars = 0.0, 1
    for per_line in sorted({-(-bars // lines) for lines in range(1, bars + 1)}, reverse=True):
        page = engrave(pattern, shown, bars_per_line=per_line, **options)
        space = min(width / (page.width * SQUEEZE), height / page.height)
        if space > best_space * 1.02:
            best_space, best_bars = space, per_line
    space = min(best_space, largest) if largest is not None else best_space
    page = engrave(pattern, shown, width=width / space, bars_per_line=best_bars, **options)
    return page, min(space, width / page.width, height / page.height)
