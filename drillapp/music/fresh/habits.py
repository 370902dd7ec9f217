"""What is usual where these signs are asked for in this meter, from the counts of the decks in ``profile``.

Patterns of the decks count the more, the more alike their signs and their meter are to those asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from drillapp.music.meter import Meter

from .profile import COUNTED

#: How much less a pattern of the decks counts for each sign that it has more or less than those asked for.
OTHER_SIGN = 0.2
#: How much less where its meter is another of as many such beats, or one of other beats.
OTHER_METER = 0.15
OTHER_BEATS = 0.02


@dataclass(frozen=True)
class Habit:
    """Counts of the patterns of one meter with the same signs."""

    meter: Meter
    signs: frozenset[str]
    forms: dict[str, int]
    beats: dict[str, tuple[int, ...]]

    @property
    def compound(self) -> bool | None:
        """Whether its beats divide in three; None where only some do."""
        kinds = {self.meter.is_compound(beat) for beat in range(len(self.meter.beats))}
        return kinds.pop() if len(kinds) == 1 else None


@cache
def habits() -> tuple[Habit, ...]:
    found = []
    for line in COUNTED.replace("\n  ", " ").split("\n"):
        if line:
            meter, signs, forms, beats = (part.split() for part in line.split(" : "))
            found.append(
                Habit(
                    Meter.parse(meter[0]),
                    frozenset(signs),
                    {text: int(times) for text, _, times in (word.rpartition("*") for word in forms)},
                    {
                        text: tuple(map(int, times.split(",")))
                        for text, _, times in (word.rpartition("*") for word in beats)
                    },
                )
            )
    return tuple(found)


@cache
def likeness(asked: frozenset[str], meter: Meter) -> tuple[tuple[float, Habit], ...]:
    """How much each habit of the decks counts for these signs in this meter."""
    found = []
    for habit in habits():
        if habit.meter == meter:
            alike = 1.0
        elif len(habit.meter.beats) == len(meter.beats) and habit.compound == meter.is_compound(0):
            alike = OTHER_METER
        else:
            alike = OTHER_BEATS
        found.append((alike * OTHER_SIGN ** len(habit.signs ^ asked), habit))
    return tuple(found)


@cache
def usual_beats(asked: frozenset[str], meter: Meter, compound: bool, place: int) -> dict[str, float]:
    """How usual each beat is at a place of the bar (see ``fit.place``); they add up to 1."""
    found: dict[str, float] = {}
    for alike, habit in likeness(asked, meter):
        if habit.compound == compound:
            for text, times in habit.beats.items():
                found[text] = found.get(text, 0.0) + alike * (times[place] + 0.1 * sum(times))
    total = sum(found.values())
    return {text: weight / total for text, weight in found.items()}


@cache
def usual_forms(asked: frozenset[str], meter: Meter) -> dict[str, float]:
    """How usual each form is in bars of as many beats; they add up to 1. Empty if no deck has such."""
    found: dict[str, float] = {}
    for alike, habit in likeness(asked, meter):
        if len(habit.meter.beats) == len(meter.beats):
            for text, times in habit.forms.items():
                found[text] = found.get(text, 0.0) + alike * times
    total = sum(found.values())
    return {text: weight / total for text, weight in found.items()}


@cache
def known_beats(compound: bool) -> tuple[str, ...]:
    """All beats in the decks that divide in three, or all that do not."""
    return tuple(sorted({text for habit in habits() if habit.compound == compound for text in habit.beats}))
