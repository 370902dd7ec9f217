"""The habits of written patterns, counted: the text that ``profile`` keeps and ``habits`` reads.

Patterns of one meter with the same signs are counted together: which of their beats are alike (``ABAB``: the
third like the first, the fourth like the second), and how often each beat is written first, last, on another
strong beat and on another weak one.
"""

from __future__ import annotations

import textwrap
from collections import Counter, defaultdict
from collections.abc import Iterable

from drillapp.music.features import features_of
from drillapp.music.meter import Meter
from drillapp.music.pattern import Pattern

#: Places of a bar whose beats are counted apart.
OPENING, WEAK, STRONG, CLOSING = range(4)

HEAD = '''"""Habits of the shipped decks, as ``drillapp statistics --fit FILE`` counts them."""

COUNTED = """
'''


def signs_of(pattern: Pattern) -> frozenset[str]:
    """The features to ask for; a dash for a whole beat is a note value, not a skip to ask for."""
    found = features_of(pattern) - {"beat", "meter"}
    inner = any(slot.action == "ring" for bar in pattern.bars for beat in bar for slot in beat[1:])
    return (found if inner and len(found) > 1 else found - {"skip"}) or frozenset({"beat"})


def place(meter: Meter, beat: int) -> int:
    """The kind of place that a beat of the bar is."""
    if beat == 0:
        return OPENING
    if beat == len(meter.beats) - 1:
        return CLOSING
    return STRONG if beat in meter.strong else WEAK


def plainest(beat: str) -> str:
    """A beat without slots that only go on: ``D-`` and ``D`` are one, ``>X--`` and ``>X`` too."""
    first = beat[:2] if beat[0] == ">" else beat[:1]
    rest = set(beat[len(first) :])
    return first if rest == ({"."} if first == "." else {"-"}) else beat


def form(beats: Iterable[str]) -> str:
    """Which beats are alike: a letter for each, the same for those that are the same."""
    names: dict[str, str] = {}
    return "".join(names.setdefault(beat, chr(ord("A") + len(names))) for beat in beats)


def counted(written: Iterable[Pattern]) -> str:
    """The habits of these patterns as the text of a Python module."""
    forms: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    beats: dict[tuple[str, str], dict[str, list[int]]] = defaultdict(dict)
    for pattern in written:
        key = pattern.meter.text, " ".join(sorted(signs_of(pattern)))
        bars = [[plainest(beat) for beat in bar.split()] for bar in pattern.text.split("|")]
        forms[key][form(beat for bar in bars for beat in bar)] += 1
        for bar in bars:
            for number, beat in enumerate(bar):
                beats[key].setdefault(beat, [0] * 4)[place(pattern.meter, number)] += 1
    lines = []
    for key in sorted(forms):
        kinds = " ".join(f"{text}*{times}" for text, times in sorted(forms[key].items()))
        cells = " ".join(f"{beat}*{','.join(map(str, n))}" for beat, n in sorted(beats[key].items()))
        words = f"{key[0]} : {key[1]} : {kinds} : {cells}"
        lines.append(textwrap.fill(words, 108, subsequent_indent="  ", break_on_hyphens=False))
    return HEAD + "\n".join(lines) + '\n"""\n'
