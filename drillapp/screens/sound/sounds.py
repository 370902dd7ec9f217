"""What the learner hears: a pattern at a tempo, rendered once and kept while it may be asked for again."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median
from threading import Lock
from typing import TYPE_CHECKING, Protocol

from drillapp.drills import Hit
from drillapp.drills.strum.accents import LEAST_STEP
from drillapp.drills.strum.reading import moments
from drillapp.music import REST, Meter, Pattern, Stroke
from drillapp.music.slots import Number

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from drillapp.drills.strum.grade import Hit
    from drillapp.sound.strokes import Bank, Samples

RATE = 44100
KEPT = 9
MOST_KEPT = 8_000_000
"""bytes of kept sounds above which the ones used longest ago go, but for the last"""
_SCALE = 32767
PAUSE = 0.7
"""seconds of silence between two sounds that are heard in turn"""
LOUDER = 10 ** (LEAST_STEP / 20)
"""times the player's usual force: an accent in what was played"""
ROUNDS = 8
"""how often a repeated pattern is played before it falls silent by itself"""


def strokes_of(chord: str, voice: str) -> Bank:
    """The strokes of a chord and voice, kept in the user's cache folder from one start to the next."""
    from drillapp.sound import bank_folder, stroke_bank

    return stroke_bank(chord, voice, RATE, bank_folder())


@dataclass(frozen=True)
class Sound:
    """A pattern as it is to be heard; ``tempo`` in beats a minute, ``count_in`` in bars of clicks.

    ``click``: a click on the beats under it.
    """

    pattern: Pattern
    tempo: Number
    chord: str = "G"
    voice: str = "steel"
    count_in: int = 1
    repeat: bool = False
    click: bool = False

    @property
    def way(self) -> tuple[tuple[float, int | None], ...]:
        """When each slot is heard, in seconds from the start of the sound, and when the last one is over."""
        from drillapp.sound import count_in_samples

        *due, length = moments(self.pattern, float(self.tempo))
        start = count_in_samples(self.pattern, self.tempo, RATE, self.count_in) / RATE
        rounds = ROUNDS if self.repeat else 1
        steps: list[tuple[float, int | None]] = [
            (start + length * number + at, slot) for number in range(rounds) for slot, at in enumerate(due)
        ]
        return (*steps, (start + length * rounds, None))

    def render(self) -> Samples:
        import numpy as np

        from drillapp.sound import count_in_samples, render, render_loop

        bank = strokes_of(self.chord, self.voice)
        once = render(self.pattern, self.tempo, self.chord, RATE, self.count_in, click=self.click, bank=bank)
        if not self.repeat:
            return once
        head = once[: count_in_samples(self.pattern, self.tempo, RATE, self.count_in)]
        round_ = render_loop(self.pattern, self.tempo, self.chord, RATE, click=self.click, bank=bank)
        return np.concatenate([head, np.tile(round_, ROUNDS)])


@dataclass(frozen=True)
class Clicks:
    """A bar counted in, then the pattern's time in silence, or with a click on each beat."""

    pattern: Pattern
    tempo: float
    click: bool = False

    @property
    def count_in_seconds(self) -> float:
        meter = self.pattern.meter
        return float(meter.length / meter.unit) * 60 / self.tempo

    @property
    def beat_times(self) -> tuple[float, ...]:
        """When each beat of the count-in sounds, in seconds from its start."""
        meter, at, times = self.pattern.meter, Fraction(0), []
        for beat in meter.beats:
            times.append(float(at / meter.unit) * 60 / self.tempo)
            at += beat
        return tuple(times)

    @property
    def seconds(self) -> float:
        """How long the pattern lasts at this tempo."""
        return self.pattern.seconds(self.pattern.length) * float(self.pattern.tempo) / self.tempo

    def render(self) -> Samples:
        from drillapp.sound import render

        silent = self.pattern.with_slots({place.index: REST for place in self.pattern.places})
        return render(silent, self.tempo, "G", RATE, 1, click=self.click, bank=strokes_of("G", "steel"))


@dataclass(frozen=True)
class Played:
    """Strokes as they were played, to be heard again; times in seconds, so that a quarter is a second."""

    strokes: tuple[Stroke, ...]
    length: Fraction
    chord: str
    voice: str
    tempo: float = 60.0
    stops: tuple[Fraction, ...] = ()

    meter = Meter.parse("1/4")

    @classmethod
    def of(cls, hits: Sequence[Hit], chord: str, voice: str) -> Played:
        """The hits of a take, from the first beat on; accents are louder than the usual stroke."""
        kept = sorted((hit for hit in hits if hit.time > -0.3), key=lambda hit: hit.time)
        times = [Fraction(max(round(hit.time * 1000), 0), 1000) for hit in kept]
        loud = LOUDER * median(hit.force for hit in kept) if kept else 1.0
        length = Fraction(int(max(times, default=Fraction(0))) + 2)
        strokes = tuple(
            Stroke(at, max(until - at, Fraction(1, 1000)), hit.hand, hit.muted, hit.force > loud)
            for hit, at, until in zip(kept, times, [*times[1:], length], strict=True)
        )
        return cls(strokes, length, chord, voice)

    def seconds(self, at: Fraction) -> float:
        return float(at)

    def render(self) -> Samples:
        from drillapp.sound import render

        return render(self, 60, self.chord, RATE, bank=strokes_of(self.chord, self.voice))


class Renders(Hashable, Protocol):
    """A value that can be rendered."""

    def render(self) -> Samples: ...


class Sounds:
    """Renders sounds and keeps the last few; may be called from the worker's thread."""

    def __init__(self) -> None:
        self._kept: OrderedDict[Renders, NDArray[np.int16]] = OrderedDict()
        self._lock = Lock()

    def samples(self, sound: Renders) -> Samples:
        """The sound's samples: float32, shape (n,), at RATE."""
        import numpy as np

        with self._lock:
            if sound in self._kept:
                self._kept.move_to_end(sound)
                kept: Samples = self._kept[sound] / np.float32(_SCALE)
                return kept
            made = sound.render()
            # Kept in 16 bits, which is what a device gets anyway: half the memory.
            self._kept[sound] = np.round(made * _SCALE).astype(np.int16)
            while len(self._kept) > KEPT or (
                len(self._kept) > 1 and sum(kept.nbytes for kept in self._kept.values()) > MOST_KEPT
            ):
                self._kept.popitem(last=False)
            return made

    def ready(self, sound: Renders) -> None:
        """Render a sound that will be asked for; for the worker's thread."""
        with self._lock:
            known = sound in self._kept
        if not known:
            self.samples(sound)

    def seconds(self, sound: Renders) -> float:
        """How long the sound lasts, its ringing out with it."""
        return len(self.samples(sound)) / RATE

    def in_turn(self, *sounds: Renders) -> Samples:
        """Several sounds after one another, a pause between them."""
        import numpy as np

        parts = []
        for sound in sounds:
            parts += [self.samples(sound), np.zeros(round(PAUSE * RATE), np.float32)]
        return np.concatenate(parts[:-1])
