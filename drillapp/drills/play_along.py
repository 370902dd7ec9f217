"""Play along: the rounds of a page, each with its tempo and its chords. Pure.

Conventions: rounds and bars are counted on and on; a round is the whole page once. A tempo is in beats a
minute of the beat that the meter counts. What is changed while it plays holds from the next round on.
"""

from __future__ import annotations

from dataclasses import dataclass

from drillapp.music.slots import Number

STEPS = (0, 2, 4, 6, 8, 10)
"""Beats a minute by which the tempo may rise."""
EVERY = (1, 2, 4, 8)
"""Rounds after which it rises."""
BARS = (1, 2, 4)
"""Bars that a chord may last."""
LONGEST = 600.0
"""Seconds after which it stops by itself, so that the hands rest."""


@dataclass(frozen=True)
class Wish:
    """What is to be played: ``tempo`` to begin with, rising by ``step`` every so many rounds to ``fastest``.

    ``chords`` in their order, round and round, each for ``bars_a_chord`` bars.
    """

    tempo: Number
    fastest: Number
    step: int = 0
    every: int = 4
    chords: tuple[str, ...] = ("G",)
    bars_a_chord: int = 1

    def __post_init__(self) -> None:
        if not self.chords:
            raise ValueError("at least one chord is played")
        if self.step < 0 or self.every < 1 or self.bars_a_chord < 1:
            raise ValueError("step is 0 or more; every and bars_a_chord are 1 or more")

    def chord(self, bar: int) -> str:
        """The chord of a bar, counted from 0."""
        return self.chords[self.chord_place(bar)]

    def chord_place(self, bar: int) -> int:
        """Which of the chords a bar has, from 0."""
        return bar // self.bars_a_chord % len(self.chords)


@dataclass(frozen=True)
class Round:
    """One round: ``number`` from 1, ``bar`` its first bar from 0, ``chords`` one for each of its bars.

    ``places``: which of the chords wished for those are; ``held``: how many rounds had this tempo, with it.
    """

    number: int
    bar: int
    tempo: Number
    chords: tuple[str, ...]
    places: tuple[int, ...]
    held: int = 1


def next_round(wish: Wish, bars: int, before: Round | None = None, tempo: Number | None = None) -> Round:
    """The round after ``before``, or the first, of a page of so many bars.

    ``tempo``: one chosen by hand since; the rounds are counted anew from there.
    """
    number, bar, held = (
        (1, 0, 1) if before is None else (before.number + 1, before.bar + bars, before.held + 1)
    )
    speed = wish.tempo if before is None else before.tempo
    if tempo is not None:
        speed, held = tempo, 1
    elif held > wish.every and wish.step and speed < wish.fastest:
        speed, held = min(speed + wish.step, wish.fastest), 1
    ahead = range(bar, bar + bars)
    return Round(
        number,
        bar,
        speed,
        tuple(wish.chord(one) for one in ahead),
        tuple(wish.chord_place(one) for one in ahead),
        held,
    )
