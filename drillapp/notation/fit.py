"""Choose how large a page is set so that it fills the room there is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from drillapp.music import Pattern
from drillapp.notation.display import DisplayList
from drillapp.notation.engraver import Plan

SQUEEZES = (0.82, 0.88, 0.94, 1.0)
"""How far below its natural width a line may be set to gain size, tried in this order."""
MOST_TRIED = 3
"""How many numbers of lines are set in full, the likeliest first."""
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
    plan = Plan.of(pattern, layers, **options)
    one_line = plan.page()
    guesses = []
    for bars_per_line in _choices(len(pattern.bars)):
        lines = plan.lines(None, bars_per_line)
        natural = max(line.end for line in lines)
        guess = min(width / (natural * SQUEEZES[0]), height / (one_line.height * len(lines)))
        guesses.append((guess, bars_per_line, natural, len(lines)))
    guesses.sort(key=lambda guess: -guess[0])
    best: tuple[DisplayList, float] | None = None
    for _, bars_per_line, natural, count in guesses[:MOST_TRIED]:
        tall = one_line.height if count == 1 else plan.page(None, bars_per_line).height
        page, space = _set(plan, bars_per_line, count, width, height, largest, (natural, tall))
        if best is None or space > best[1] * 1.02:
            best = page, space
    assert best is not None
    return best


def _set(
    plan: Plan,
    bars_per_line: int,
    count: int,
    width: float,
    height: float,
    largest: float | None,
    natural: tuple[float, float],
) -> tuple[DisplayList, float]:
    """The page set on ``count`` lines, as large as it goes, and the pixels of a staff space.

    ``natural``: width and height of the page at natural width.
    """
    room = height / natural[1]
    for squeeze in SQUEEZES:
        asked = min(width / (natural[0] * squeeze), room, largest or room)
        space = int(asked / STEP) * STEP if asked > 8 else asked
        page = plan.page(width / space, bars_per_line)
        if len(page.systems) == count and page.width * space <= width * 1.0001:
            break
    limit = min(width / page.width, height / page.height)
    return page, limit if limit < space * 0.9999 else space


def _choices(bars: int) -> Iterator[int]:
    """Bars on a line, from all of them to one, each number of lines once."""
    return iter(sorted({-(-bars // lines) for lines in range(1, bars + 1)}, reverse=True))
