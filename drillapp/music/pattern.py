"""A pattern: bars of beats of slots, and the strokes that they mean.

Conventions: musical time is exact, in Fractions of a quarter note from the start of the pattern; a beat
holds 1, 2, 3, 4 or 6 slots of equal length. Floats begin at ``Pattern.seconds``.

A slot *rings* when it is not struck and what sounds goes on sounding; it *rests* when nothing sounds in
it. What a dash means depends on what came before, so a Pattern settles its slots when it is made: a ring
with nothing sounding is a rest. A muted stroke does not ring beyond its own beat.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property, lru_cache

from .errors import PatternError
from .meter import Meter
from .slots import DIVISIONS, REST, Bar, Beat, Hand, Number, Slot
from .text_out import format_bars

MAX_BARS = 64
TEMPO_RANGE = (20, 400)


@dataclass(frozen=True)
class Place:
    """A slot and where it stands: ``at`` and ``length`` in quarters; bar, beat and number from 0."""

    index: int
    at: Fraction
    length: Fraction
    bar: int
    beat: int
    number: int
    of: int
    slot: Slot

    @property
    def struck(self) -> bool:
        return self.slot.action == "strike"


@dataclass(frozen=True)
class Stroke:
    """A stroke that sounds at ``at`` for ``length`` (quarters): to the next stroke, stop or end.

    A muted stroke does not ring, so its length never passes the end of its beat.
    """

    at: Fraction
    length: Fraction
    hand: Hand
    muted: bool = False
    accent: bool = False


@dataclass(frozen=True)
class Pattern:
    """A strum pattern. Values of equal music are equal and have equal ``text``.

    ``tempo`` is in beats a minute of ``meter.unit``; ``swing`` is the ratio of long to short eighth in
    simple beats, or None. Raises PatternError where bars do not fit the meter.
    """

    bars: tuple[Bar, ...]
    meter: Meter
    tempo: Number = 90
    swing: Fraction | None = None

    def __post_init__(self) -> None:
        check_tempo(self.tempo)
        if not 1 <= len(self.bars) <= MAX_BARS:
            raise PatternError(
                f"a pattern has 1 to {MAX_BARS} bars, this one {len(self.bars)}",
                code="bar-count",
                places={"most": MAX_BARS, "bars": len(self.bars)},
            )
        for number, bar in enumerate(self.bars, 1):
            if len(bar) != len(self.meter.beats):
                raise PatternError(
                    f"bar {number} has {len(bar)} beats; {self.meter.text} has {len(self.meter.beats)} a bar",
                    code="bar-length",
                    places={
                        "bar": number,
                        "beats": len(bar),
                        "meter": self.meter.text,
                        "right": len(self.meter.beats),
                    },
                )
            for beat in bar:
                if len(beat) not in DIVISIONS:
                    raise PatternError(
                        f"a beat has 1, 2, 3, 4 or 6 slots; one in bar {number} has {len(beat)}",
                        code="beat-division",
                        places={"bar": number, "slots": len(beat)},
                    )
        object.__setattr__(self, "bars", _settle(self.bars))

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:  # patterns are the keys of caches, and hashing all slots each time is slow
        return hash((self.bars, self.meter, self.tempo, self.swing))

    @property
    def length(self) -> Fraction:
        """Length of the whole pattern in quarters."""
        return self.meter.length * len(self.bars)

    @cached_property
    def text(self) -> str:
        """Canonical pattern text."""
        return format_bars(self.bars)

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """Every slot in order, with where it stands."""
        places: list[Place] = []
        for b, bar in enumerate(self.bars):
            for k, beat in enumerate(bar):
                step, starts = _instants(self.meter, b, k, len(beat))
                for n, slot in enumerate(beat):
                    places.append(Place(len(places), starts[n], step, b, k, n, len(beat), slot))
        return tuple(places)

    @cached_property
    def strokes(self) -> tuple[Stroke, ...]:
        """What is struck, in order."""
        strokes: list[Stroke] = []
        places = self.places
        for place in places:
            slot = place.slot
            if slot.action != "strike" or slot.hand is None:
                continue
            end = place.at + place.length
            for later in places[place.index + 1 :]:
                if later.slot.action != "ring":
                    break
                end += later.length
            strokes.append(Stroke(place.at, end - place.at, slot.hand, slot.muted, slot.accent))
        return tuple(strokes)

    @cached_property
    def stops(self) -> tuple[Fraction, ...]:
        """Instants (quarters) at which ringing strings are stopped by a rest."""
        stops: list[Fraction] = []
        ringing = False
        for place in self.places:
            if place.slot.action == "strike":
                ringing = not place.slot.muted
            elif place.slot.action == "rest" and ringing:
                stops.append(place.at)
                ringing = False
        return tuple(stops)

    def seconds(self, at: Number) -> float:
        """When the written instant ``at`` (quarters from the start) is played, in seconds.

        Swing moves the middle of a beat of two or four slots, and what is around it in proportion; beats
        of three are left as they are. Instants before 0 or after the end go on evenly.
        """
        played = self._swung(Fraction(at)) if self.swing is not None else at
        return float(played) * 60.0 / (float(self.tempo) * float(self.meter.unit))

    def _swung(self, at: Fraction) -> Fraction:
        if not 0 <= at < self.length or self.swing is None:
            return at
        bar, inside = divmod(at, self.meter.length)
        beat = max(k for k, start in enumerate(self.meter.starts) if start <= inside)
        length = self.meter.beats[beat]
        if self.meter.is_compound(beat) or len(self.bars[int(bar)][beat]) not in (2, 4):
            return at
        share = (inside - self.meter.starts[beat]) / length
        long = self.swing / (self.swing + 1)
        half = Fraction(1, 2)
        moved = share * 2 * long if share <= half else long + (share - half) * 2 * (1 - long)
        return at + (moved - share) * length

    def at_tempo(self, tempo: Number) -> Pattern:
        """The same pattern at another tempo (beats a minute of the counted beat)."""
        return replace(self, tempo=tempo)

    def with_slots(self, changes: dict[int, Slot]) -> Pattern:
        """The pattern with the slots at these indexes (see ``places``) written as given."""
        index = 0
        bars: list[Bar] = []
        for bar in self.bars:
            beats: list[Beat] = []
            for beat in bar:
                beats.append(tuple(changes.get(index + n, slot) for n, slot in enumerate(beat)))
                index += len(beat)
            bars.append(tuple(beats))
        return replace(self, bars=tuple(bars))


@lru_cache(maxsize=512)
def _instants(meter: Meter, bar: int, beat: int, slots: int) -> tuple[Fraction, tuple[Fraction, ...]]:
    """The length of each slot of a beat, and where each begins, in quarters from the pattern's start."""
    step = meter.beats[beat] / slots
    start = meter.length * bar + meter.starts[beat]
    return step, tuple(start + step * n for n in range(slots))


def check_tempo(tempo: Number) -> None:
    """Raise PatternError where ``tempo`` is not a playable number of beats a minute."""
    low, high = TEMPO_RANGE
    if isinstance(tempo, bool) or not isinstance(tempo, (int, float, Fraction)) or not low <= tempo <= high:
        raise PatternError(
            f"tempo {tempo!r} is not a number of beats a minute from {low} to {high}",
            code="tempo",
            places={"tempo": tempo, "low": low, "high": high},
        )


def _settle(bars: tuple[Bar, ...]) -> tuple[Bar, ...]:
    """Turn rings with nothing sounding into rests (a leading dash, a dash after a rest or a muted beat)."""
    sounding = False
    muted = False
    settled: list[Bar] = []
    for bar in bars:
        beats: list[Beat] = []
        for beat in bar:
            if muted:
                sounding = False
            slots: list[Slot] = []
            for slot in beat:
                if slot.action == "strike":
                    sounding, muted = True, slot.muted
                elif slot.action == "rest" or not sounding:
                    sounding, slot = False, REST
                slots.append(slot)
            beats.append(tuple(slots))
        settled.append(tuple(beats))
    return tuple(settled)
