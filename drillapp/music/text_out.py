"""Writing pattern text: the canonical one of the bars of a pattern."""

from __future__ import annotations

from collections.abc import Iterable

from .slots import Bar, Beat, natural_hand


def format_bars(bars: Iterable[Bar]) -> str:
    """Canonical text of settled bars: one space between beats, `` | `` between bars, silence as dots."""
    return " | ".join(" ".join(_write_beat(beat) for beat in bar) for bar in bars)


def _write_beat(beat: Beat) -> str:
    marks: list[str] = []
    for number, slot in enumerate(beat):
        if slot.action != "strike":
            marks.append("-" if slot.action == "ring" else ".")
            continue
        if slot.muted:
            second_struck = number == 2 and beat[1].action == "strike"
            natural = slot.hand == natural_hand(number, len(beat), second_struck)
            mark = "X" if natural else "d" if slot.hand == "down" else "u"
        else:
            mark = "D" if slot.hand == "down" else "U"
        marks.append(">" + mark if slot.accent else mark)
    return "".join(marks)
