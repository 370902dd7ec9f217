"""Choose how large a page is set so that it fills the room there is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from drillapp.music import Pattern
from drillapp.notation.display import DisplayList
from drillapp.notation.engraver import engrave

SQUEEZES = (0.82, 0.88, 0.94, 1.0)
"""How far below its natural width a line may be set to gain size, tried in this order."""
STEP = 0.5
"""Sizes go in steps of so many pixels, so that pages look alike and painters can use their signs again."""


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
    shown = (layers,) if isinstance(layers, str) else tuple(layers)
    best: tuple[DisplayList, float] | None = None
    for bars_per_line in _choices(len(pattern.bars)):
        natural = engrave(pattern, shown, bars_per_line=bars_per_line, **options)
        room = height / natural.height
        if best is not None and min(width / (natural.width * SQUEEZES[0]), room) <= best[1] * 1.02:
            continue
        for squeeze in SQUEEZES:
            asked = min(width / (natural.width * squeeze), room, largest or room)
            space = int(asked / STEP) * STEP if asked > 8 else asked
            page = engrave(pattern, shown, width=width / space, bars_per_line=bars_per_line, **options)
            if len(page.systems) == len(natural.systems) and page.width * space <= width * 1.0001:
                break
        limit = min(width / page.width, height / page.height)
        if limit < space * 0.9999:  # it does not fit, even squeezed
            space = limit
        if best is None or space > best[1] * 1.02:
            best = page, space
    assert best is not None
    return best


def _choices(bars: int) -> Iterator[int]:
    """Bars on a line, from all of them to one, each number of lines once."""
    return iter(sorted({-(-bars // lines) for lines in range(1, bars + 1)}, reverse=True))
