"""Pages of one line each set at one scale, so that what sounds together stands one under the other.

Units: staff spaces, as everywhere in notation. No gap is smaller than on the page alone; a moment that only
some of the patterns have gets its room on all pages.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from drillapp.music import Pattern
from drillapp.notation.display import DisplayList
from drillapp.notation.engraver import Plan
from drillapp.notation.layout import LinePlan
from drillapp.notation.spacing import WIDEST, natural_gap

_STEPS = 24


def fit_aligned(
    patterns: Sequence[Pattern],
    layers: Iterable[str],
    width: float,
    height: float,
    *,
    largest: float,
    names: str = "1 + 2 +",
) -> tuple[tuple[DisplayList, ...], float]:
    """The pages of the patterns, all of one width, and the pixels of a staff space for all of them.

    ``width``, ``height``: room for each page in pixels; ``largest``: no more pixels to a staff space than
    this. Raises ValueError for no pattern, sizes that are not positive, and as ``engrave`` does.
    """
    if not patterns or width <= 0 or height <= 0:
        raise ValueError("pages that are aligned need a pattern and a positive width and height")
    shown = tuple(layers)
    plans = [Plan.of(pattern, shown, names, steady=True) for pattern in patterns]
    tall = max(page.height for page in _pages(plans, 1.0))
    least = max(page.width for page in _pages(plans, 0.6))
    space = min(largest, height / tall, width / least)
    pages = _pages(plans, 0.6)
    low, high = 0.6, WIDEST
    for _ in range(_STEPS):
        factor = (low + high) / 2
        tried = _pages(plans, factor) if factor < WIDEST else pages
        if tried[0].width * space <= width:
            low, pages = factor, tried
        else:
            high = factor
    return tuple(pages), space


def _pages(plans: Sequence[Plan], factor: float) -> list[DisplayList]:
    """The pages with natural gaps times ``factor``; all as wide as the widest."""
    begin = max(plan.prefix for plan in plans)
    xs, edges = _columns(plans, begin, factor)
    lines = []
    for plan in plans:
        of_slots = {place.index: xs[place.at] for bar in plan.bars for place in bar.places}
        ends = [edges[plan.pattern.meter.length * (number + 1)] for number in range(len(plan.bars))]
        end = ends[-1] + plan.ending_room
        lines.append(LinePlan(0, tuple(plan.bars), of_slots, (0.0, *ends), 0.0, end))
    wide = max(line.end for line in lines)
    return [plan.page_of([line], wide) for plan, line in zip(plans, lines, strict=True)]


def _columns(
    plans: Sequence[Plan], begin: float, factor: float
) -> tuple[dict[Fraction, float], dict[Fraction, float]]:
    """x of every moment at which some slot starts, and of every barline's end of a bar."""
    moments = sorted({place.at for plan in plans for bar in plan.bars for place in bar.places})
    ends = {plan.pattern.meter.length * (n + 1) for plan in plans for n in range(len(plan.bars))}
    # room[b]: what must lie between an earlier moment a and b, or the barline at b.
    room: dict[Fraction, list[tuple[Fraction, float]]] = {}
    bar_room: dict[Fraction, list[tuple[Fraction, float]]] = {}
    leads: dict[Fraction, float] = {}
    for plan in plans:
        for bar, space in zip(plan.bars, plan.spaces, strict=True):
            leads[bar.begin] = max(leads.get(bar.begin, 0.0), space.lead)
            for place, needed in zip(bar.places, space.least, strict=True):
                after = place.at + place.length
                last = place is bar.places[-1]
                (bar_room if last else room).setdefault(after, []).append((place.at, needed))
    xs: dict[Fraction, float] = {}
    edges: dict[Fraction, float] = {Fraction(0): begin}
    before: Fraction | None = None
    for moment in sorted({*moments, *ends}):
        natural = 0.0 if before is None else xs[before] + natural_gap(moment - before) * factor
        required = [xs[a] + gap for a, gap in (*room.get(moment, ()), *bar_room.get(moment, ()))]
        x = max([natural, *required])
        if moment in ends:
            edges[moment] = x
        if moment in moments:
            if moment in leads:
                x = max(x if moment not in edges else 0.0, edges.get(moment, begin) + leads[moment])
            xs[moment] = x
            before = moment
    return xs, edges
