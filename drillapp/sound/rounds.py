"""A page played round after round: each round ready by itself, all of them one sound.

Conventions: as in ``rendering``. A round joins the one before it to the sample: what rang there rings on, at
any change of tempo. At a change of chord the old one is let go as the new one is first struck, as the left
hand does it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate, pairwise
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from drillapp.music import Pattern, Stroke
from drillapp.music.slots import Number
from drillapp.sound.loudness import gain_to, loudness
from drillapp.sound.mixing import mix, mix_loop
from drillapp.sound.rendering import (
    LOUDNESS,
    add_clicks,
    bar_clicks,
    checked_tempo,
    limited,
    pattern_clock,
)
from drillapp.sound.strokes import LONGEST, Bank, Samples


class Round(Protocol):
    """One round: its tempo, and a chord for each of the page's bars."""

    @property
    def tempo(self) -> Number: ...
    @property
    def chords(self) -> tuple[str, ...]: ...


@dataclass(frozen=True)
class _Event:
    """A stroke, or a stop where there is none: ``at`` in quarters from the start of the very first round."""

    at: Fraction
    chord: str
    stroke: Stroke | None


class Rounds:
    """A page's rounds at ``rate``; ``bank`` gives a chord's strokes, and is asked once for each chord."""

    def __init__(self, pattern: Pattern, bank: Callable[[str], Bank], rate: int = 44100) -> None:
        self.pattern, self.rate = pattern, rate
        self._bank = bank
        self._banks: dict[str, tuple[Bank, np.float32]] = {}
        self._stops = tuple(pattern.stops)
        if pattern.places[0].slot.action == "rest":
            # What rings at the end of a round is stopped by a rest at the start of the next.
            self._stops = (Fraction(0), *self._stops)

    def length(self, round_: Round) -> int:
        """A round's length in samples."""
        return self._clock(round_)(self.pattern.length)

    def places(self, round_: Round) -> NDArray[np.int64]:
        """The sample of a round at which each place of the page begins, shape (places,)."""
        clock = self._clock(round_)
        return np.array([clock(place.at) for place in self.pattern.places], np.int64)

    def count_in(self, tempo: Number) -> Samples:
        """A bar of clicks."""
        meter = self.pattern.meter
        bar = round(float(meter.length / meter.unit) * 60 / checked_tempo(self.pattern, tempo) * self.rate)
        out = np.zeros(bar, np.float32)
        add_clicks(out, bar_clicks(meter, float(tempo), self.rate, 1), self.rate)
        return out

    def ready(self, chords: Sequence[str]) -> None:
        """Make the strokes of these chords ready; some 0.3 s each."""
        for chord in chords:
            self._strings(chord)

    def samples(self, round_: Round, before: Sequence[Round] = (), click: bool = True) -> Samples:
        """A round's samples after those that came before it, shape (``length(round_)``,).

        Raises ValueError for a tempo out of TEMPOS or an unknown chord.
        """
        # Nothing rings longer than LONGEST, so that is how far back one has to look.
        first, back = len(before), 0
        while first and back < LONGEST * self.rate:
            first -= 1
            back += self.length(before[first])
        together = [*before[first:], round_]
        starts = [0, *accumulate(self.length(one) for one in together)]
        clocks = [self._clock(one) for one in together]

        def sample(at: Fraction) -> int:
            number = int(at / self.pattern.length) - first
            return starts[number] + clocks[number](at % self.pattern.length)

        out = np.zeros(starts[-1], np.float32)
        events = self._events(together, first)
        for chord in dict.fromkeys(event.chord for event in events if event.stroke):
            bank, gain = self._strings(chord)
            strokes = [event.stroke for event in events if event.stroke and event.chord == chord]
            out += gain * mix(bank, strokes, _stops(events, chord), sample, starts[-1], 0)
        played = out[back:]
        if click:
            bars = round(self.pattern.length / self.pattern.meter.length)
            add_clicks(
                played, bar_clicks(self.pattern.meter, float(round_.tempo), self.rate, bars), self.rate
            )
        return limited(played, always=True)

    def _events(self, together: Sequence[Round], first: int) -> list[_Event]:
        """The strokes and rests of rounds, the first of which has this number, in time.

        Each stroke has the chord of its bar. Their times count from the very first round, since what is left
        to chance in a stroke hangs on its time.
        """
        bar = self.pattern.meter.length
        events = []
        for number, one in enumerate(together, first):
            start = number * self.pattern.length
            for stroke in self.pattern.strokes:
                chord = one.chords[int(stroke.at / bar)]
                events.append(_Event(start + stroke.at, chord, replace(stroke, at=start + stroke.at)))
            events += [_Event(start + at, "", None) for at in self._stops]
        return sorted(events, key=lambda event: event.at)

    def _clock(self, round_: Round) -> Callable[[Fraction], int]:
        return pattern_clock(self.pattern, checked_tempo(self.pattern, round_.tempo), self.rate)

    def _strings(self, chord: str) -> tuple[Bank, np.float32]:
        """A chord's strokes, and the gain that brings this page on it to LOUDNESS."""
        if chord not in self._banks:
            bank = self._bank(chord)
            clock = pattern_clock(self.pattern, float(self.pattern.tempo), self.rate)
            once = mix_loop(
                bank, self.pattern.strokes, self._stops, clock, clock(self.pattern.length), seed=0
            )
            self._banks[chord] = bank, np.float32(gain_to(LOUDNESS, loudness(once, self.rate)))
        return self._banks[chord]


def _stops(events: Sequence[_Event], chord: str) -> list[Fraction]:
    """When a chord's strings are stopped: by a rest, or by the first stroke on another chord."""
    stops = [event.at for event in events if event.stroke is None]
    struck = [event for event in events if event.stroke]
    stops += [new.at for old, new in pairwise(struck) if old.chord == chord != new.chord]
    return sorted(stops)
