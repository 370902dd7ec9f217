"""Strum it: grading a page that was played.

Conventions: times in seconds from the first beat; ``lead`` is positive where the player is early; force
from 0 to 1. Timing and reading are told apart: a constant lead or lag, a slow drift and an even
unsteadiness are the player's (or the device's) own and no mistake; what is judged is which slot each stroke
was meant for (``follow``) and whether it is what is written there.

A page may be played several times through in one take. Its rounds are no independent readings: who misreads a
sign mostly does so each time, and who slips once has not misread it. So each slot, and with it each sign,
counts once: as it was read in most of the rounds, and where as many say one as the other, as it was read the
first time through (``counted``).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from drillapp.drills.pick import Evidence
from drillapp.drills.slot_evidence import HAND_LAYERS, SignRead, strum_signs
from drillapp.drills.verdicts import (
    ACCENT_ADDED,
    ACCENT_MISSED,
    EARLY,
    EXTRA,
    LATE,
    LEFT_OUT,
    MUTE_ADDED,
    MUTE_MISSED,
    STROKE_LAYERS,
    TIMING,
    WRONG_HAND,
)
from drillapp.music import Pattern, Place, check_layers
from drillapp.music.pattern import check_tempo
from drillapp.music.slots import Hand, Number, has_hand_rule, natural_hand

from . import recognised
from .accents import accented
from .reading import Alignment, Strokes
from .timing import LEAST_SPREAD, MOST_LEAD, ON_TIME

BEFORE = -(MOST_LEAD + ON_TIME * LEAST_SPREAD)  # s: earlier than any player's first stroke


@dataclass(frozen=True)
class Hit:
    """A stroke as played: ``time`` in s from the first beat, its hand, muted or ringing, force 0 to 1."""

    time: float
    hand: Hand
    muted: bool = False
    force: float = 0.5

    def __post_init__(self) -> None:
        if self.hand not in ("down", "up"):
            raise ValueError(f"a stroke goes 'down' or 'up', not {self.hand!r}")


@dataclass(frozen=True)
class SlotResult:
    """What is wrong with one slot (words of VERDICTS; empty where all is right).

    ``at`` in quarters, ``index`` that of the slot, ``hit`` that of its stroke among the hits as they were
    given (None where it took none), ``ahead`` how early (s, late is negative) that stroke was by the player's
    own beat.
    """

    at: Fraction
    verdicts: frozenset[str]
    index: int
    hit: int | None = None
    ahead: float | None = None

    @property
    def misread(self) -> bool:
        """Whether something other than timing is wrong."""
        return bool(self.verdicts - TIMING)


@dataclass(frozen=True)
class StrumResult:
    """What a performance says, slot by slot, and about the player's time apart from reading.

    ``kind`` is "scored" where it was scored; else what was recognised (one of ``recognised.KINDS``), and
    ``slots``, ``signs`` and ``evidence`` are empty. ``played`` and ``written``: how many strokes were given
    and how many the page holds, and ``asked`` the tempo counted in, of a take that is not scored. ``lead``
    (s): how early the player is throughout; ``drift``: by which part of the tempo they are faster than
    asked; ``steadiness`` (s): SD of the strokes about their own beat; ``tempo``: the one played. ``signs``:
    what was read as what. ``strays``: indexes of hits that belong to no slot; ``unjudged``: of hits before
    the count-in ended or after the last slot. ``swing``: long to short as played, None where even.
    ``rounds``: the slots of each time through a page that was played several times; ``slots`` are those
    that count.
    """

    slots: tuple[SlotResult, ...]
    lead: float
    drift: float
    steadiness: float
    tempo: float
    signs: tuple[SignRead, ...]
    kind: str = recognised.SCORED
    played: int = 0
    written: int = 0
    asked: float = 0.0
    strays: tuple[int, ...] = ()
    unjudged: tuple[int, ...] = ()
    swing: Fraction | None = None
    rounds: tuple[tuple[SlotResult, ...], ...] = ()

    @property
    def evidence(self) -> tuple[Evidence, ...]:
        """What it says about the reading of each sign."""
        return tuple(one.evidence for one in self.signs)

    @property
    def scored(self) -> bool:
        return self.kind == recognised.SCORED

    @property
    def right(self) -> bool:
        """Whether it was scored and everything was read right (timing aside)."""
        return self.scored and not any(slot.misread for slot in self.slots)


def grade_strum(
    pattern: Pattern,
    tempo: Number,
    hits: Iterable[Hit],
    layers: Iterable[str] = STROKE_LAYERS,
    times: int = 1,
) -> StrumResult:
    """What was played right and wrong when ``pattern`` was strummed at ``tempo`` (beats a minute).

    ``hits`` in any order; time 0 is the first beat after the count-in, so hits well before it are part of the
    count-in and not judged; neither are those after the last slot. ``layers`` are those that were shown: each
    of their signs is one opportunity and gives evidence (all layers that show strokes, where not given), one
    only also where the page was played ``times`` times through.

    A stroke is on time within 3.2 SDs of what is usual at the length of its slot: 4 % of it, at least 15 ms
    (untrained players, Repp 2005; Repp and Su 2013), or of the player's own spread where that is larger; see
    ``timing.tolerance``. A constant lead up to 0.2 s and a tempo up to 15 % off are estimated and are
    no mistake. Takes that cannot be scored stroke by stroke (no strokes, too few or many, another tempo, half
    or double time) are recognised: see ``kind``. Raises ValueError for an impossible tempo, layer or
    number of times.

    >>> from drillapp.music import parse
    >>> played = [Hit(time, "down") for time in (0, 1, 2, 3)] + [Hit(time, "up") for time in (1.5, 2.5, 3.5)]
    >>> result = grade_strum(parse("D- DU -U DU"), 60, played)
    >>> [(str(slot.at), *slot.verdicts) for slot in result.slots if slot.verdicts]
    [('2', 'extra')]
    """
    check_tempo(tempo)
    shown = check_layers(layers)
    page, pattern = pattern, repeated(pattern, times)
    given = tuple(hits)
    if not all(math.isfinite(hit.time) and math.isfinite(hit.force) for hit in given):
        return _set_aside(pattern, float(tempo), recognised.UNREADABLE, given)
    take, early = _take(given)
    kind, reading, rate = recognised.recognise(pattern, float(tempo), take)
    if kind != recognised.SCORED or reading is None:
        return _set_aside(pattern, float(tempo), kind, given, rate)
    verdicts, judged = _verdicts(pattern, shown, take, reading)
    swing_read = reading.swing is not None if reading.tells_swing else None
    timing = reading.timing
    rounds = _rounds(page, verdicts, take, reading)
    slots = counted(rounds)
    muted = [slot.hit is not None and given[slot.hit].muted for slot in slots]
    return StrumResult(
        slots,
        timing.lead,
        1 / (1 + timing.slope) - 1,
        timing.spread,
        float(tempo) / (1 + timing.slope),
        strum_signs(page, shown, [slot.verdicts for slot in slots], muted, judged, swing_read),
        strays=tuple(take.numbers[j] for j in reading.path.strays),
        unjudged=(*early, *(take.numbers[j] for j in reading.path.after)),
        swing=reading.swing,
        rounds=rounds,
    )


def repeated(pattern: Pattern, times: int) -> Pattern:
    """The pattern ``times`` times over. Raises ValueError for less than once."""
    if times < 1:
        raise ValueError(f"a page is played 1 time or more, not {times}")
    return pattern if times == 1 else replace(pattern, bars=pattern.bars * times)


def counted(rounds: Sequence[Sequence[SlotResult]]) -> tuple[SlotResult, ...]:
    """What counts for each slot of a page that was played several times through.

    A slot is misread if it was in more than half of the rounds, or in half of them and in the first; what
    counts is the first round that agrees.
    """
    found = []
    for slot in zip(*rounds, strict=True):
        votes = 2 * sum(one.misread for one in slot) - len(slot)
        misread = votes > 0 or (not votes and slot[0].misread)
        found.append(next(one for one in slot if one.misread == misread))
    return tuple(found)


def _rounds(
    page: Pattern, verdicts: Sequence[frozenset[str]], take: Strokes, reading: Alignment
) -> tuple[tuple[SlotResult, ...], ...]:
    """What is wrong with each slot, for each time through the page."""
    every = zip(verdicts, reading.path.taken, reading.offs, strict=True)  # one after another, round by round
    return tuple(
        tuple(
            SlotResult(
                place.at,
                wrong,
                place.index,
                None if j is None else take.numbers[j],
                None if off is None else -off,
            )
            for place, (wrong, j, off) in zip(page.places, every, strict=False)
        )
        for _ in range(len(verdicts) // len(page.places))
    )


def _take(given: Sequence[Hit]) -> tuple[Strokes, tuple[int, ...]]:
    """The hits in order of time, and the indexes of those that belong to the count-in."""
    order = sorted(range(len(given)), key=lambda number: given[number].time)
    early = tuple(number for number in order if given[number].time < BEFORE)
    kept = tuple(order[len(early) :])
    take = Strokes(
        tuple(float(given[number].time) for number in kept),
        tuple(given[number].hand for number in kept),
        tuple(bool(given[number].muted) for number in kept),
        tuple(min(max(float(given[number].force), 0.0), 1.0) for number in kept),
        kept,
    )
    return take, early


def _verdicts(
    pattern: Pattern, layers: tuple[str, ...], take: Strokes, reading: Alignment
) -> tuple[tuple[frozenset[str], ...], bool]:
    """For each slot what is wrong with it; and whether accents could be told."""
    found: list[set[str]] = [set() for _ in pattern.places]
    matched = [
        (place, j) for place, j in zip(pattern.places, reading.path.taken, strict=True) if j is not None
    ]
    struck = [(place, j) for place, j in matched if place.struck]
    accents = accented(
        [place.slot.accent for place, _ in struck],
        [take.forces[j] for _, j in struck],
        [take.hands[j] for _, j in struck],
    )
    hands_shown = bool(HAND_LAYERS & set(layers))
    for (place, j), accent in zip(struck, accents, strict=True):
        slot, here = place.slot, found[place.index]
        if reading.out_of_time(place.index):
            here.add(EARLY if (reading.offs[place.index] or 0.0) < 0 else LATE)
        if take.hands[j] != slot.hand and (hands_shown or _keeps_time(place)):
            here.add(WRONG_HAND)
        if take.muted[j] != slot.muted:
            here.add(MUTE_MISSED if slot.muted else MUTE_ADDED)
        if accent is not None and accent != slot.accent:
            here.add(ACCENT_MISSED if slot.accent else ACCENT_ADDED)
    for place, taken in zip(pattern.places, reading.path.taken, strict=True):
        if place.struck and taken is None:
            found[place.index].add(LEFT_OUT)
        elif not place.struck and taken is not None:
            found[place.index].add(EXTRA)
    for stray in reading.path.strays:
        found[reading.nearest(take.times[stray])].add(EXTRA)
    return tuple(map(frozenset, found)), bool(accents) and accents[0] is not None


def _keeps_time(place: Place) -> bool:
    """Whether the hand that is written is the one that anyone would use who keeps time with it."""
    return has_hand_rule(place.number, place.of) and place.slot.hand == natural_hand(place.number, place.of)


def _set_aside(
    pattern: Pattern, tempo: float, kind: str, given: Sequence[Hit], rate: float = 1.0
) -> StrumResult:
    """A take that is not scored, and what is to be said of it."""
    return StrumResult(
        (),
        0.0,
        1 / rate - 1,
        0.0,
        tempo / rate,
        (),
        kind,
        len(given),
        len(pattern.strokes),
        tempo,
        unjudged=tuple(range(len(given))),
    )
