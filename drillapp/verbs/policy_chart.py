"""A chart of how policies compare: one panel for each family, one bar for each policy.

Units: staff spaces, as in every display list; the page's own painter makes the picture.
"""

from __future__ import annotations

from collections.abc import Sequence

from drillapp.learning.simulation.simulate import Line as Result
from drillapp.notation.display import Beam, DisplayList, Item, Line, Text
from drillapp.notation.painters import png

_WIDE, _ROW, _BAR, _SIZE = 14.0, 1.5, 0.9, 1.0
_LABELS, _GAP, _FOOT, _HEAD = 7.0, 3.5, 2.0, 2.6


def policy_chart(results: Sequence[Result]) -> bytes:
    """The bytes of a PNG: mean accuracy at the test as bars from a common left end, its value beside each."""
    families = list(dict.fromkeys(result.family for result in results))
    policies = list(dict.fromkeys(result.policy for result in results))
    low = max(0.0, int(20 * (min(result.mean for result in results) - 0.01)) / 20)
    high = max(result.mean for result in results)
    top = _FOOT + _ROW * len(policies)
    items: list[Item] = []
    for row, policy in enumerate(policies):
        items.append(Text(policy, _LABELS - 0.6, _base(top, row), _SIZE, align="right"))
    for column, family in enumerate(families):
        left = _LABELS + column * (_WIDE + _GAP)
        items.append(Text(family, left, top + 0.8, 1.2 * _SIZE, align="left"))
        items.append(Line(left, _FOOT, left, top, 0.1, role="second"))
        for result in (result for result in results if result.family == family):
            row = policies.index(result.policy)
            end = left + _WIDE * 0.8 * (result.mean - low) / max(high - low, 1e-6)
            upper = top - row * _ROW - (_ROW - _BAR) / 2
            role = "mark" if result.policy == "planner" else "second"
            items.append(Beam(left, max(end, left + 0.1), upper, _BAR, role=role))
            items.append(
                Text(f"{result.mean:.3f}", max(end, left) + 0.4, _base(top, row), _SIZE, align="left")
            )
    note = f"mean accuracy two weeks after the last day; bars begin at {low:.2f}"
    items.append(Text(note, _LABELS, 0.4, _SIZE, align="left", role="second"))
    width = _LABELS + len(families) * (_WIDE + _GAP)
    return png.paint(DisplayList(tuple(items), width, top + _HEAD, (), (), ()), space=16.0)


def _base(top: float, row: int) -> float:
    return top - (row + 0.5) * _ROW - 0.35 * _SIZE
