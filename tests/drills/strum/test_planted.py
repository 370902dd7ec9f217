"""Strum it against simulated players whose mistakes are known.

The players. A stroke is played at ``warp(written) - lead + noise``: noise is normal and independent from
stroke to stroke, the simplest model in which tapping data are described (mean and SD of asynchronies; Repp,
Psychonomic Bulletin and Review 12(6), 2005; Repp and Su, 20(3), 2013). SD 15 ms is 2 to 4 % of the interval
between eighths at usual tempi (a musician), 35 ms about twice what untrained players show (figures from
memory). Lead lies between 80 ms early and 80 ms late (negative mean asynchrony 20 to 80 ms untrained:
Aschersleben, Brain and Cognition 48, 2002, from memory; a device adds a lag). Tempo is off by up to 3 %,
constant, growing or swaying. Force: plain strokes spread by 6 % (half a dB, half a just noticeable
difference: Jesteadt, Wier and Green, Journal of the Acoustical Society of America 61, 1977), accents are 3.5
to 5 dB above them (3 to 5 dB: common practice, no source).
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import mir_eval
import numpy as np
import pytest

from drillapp.decks.load import load_decks
from drillapp.drills.strum.grade import Hit, StrumResult, grade_strum
from drillapp.music import Pattern

FASTEST = 0.11  # s between slots: hardly anyone strums faster (finger 1:1 150 to 200 ms: Repp 2005)
OTHER = {"down": "up", "up": "down"}


@dataclass
class Player:
    """A simulated player: noise SD, lead (s), and how the tempo bends (a function of 0 to 1, in seconds)."""

    rng: random.Random
    sd: float
    lead: float = 0.0
    bend: Callable[[float], float] = field(default=lambda share: 0.0)
    accents: bool = True

    def time(self, at: float, length: float) -> float:
        return at + length * self.bend(at / length) - self.lead + self.rng.gauss(0, self.sd)

    def force(self, accent: bool, step: float) -> float:
        level = 0.45 * 10 ** (step * accent / 20)
        return min(1.0, level * math.exp(self.rng.gauss(0, 0.06)))


def a_player(rng: random.Random, sd: float, lead: float = 0.08, drift: float = 0.03) -> Player:
    amount = rng.uniform(-drift, drift)
    waves = rng.choice((1, 2))
    bend = rng.choice(
        (
            lambda x: amount * x,
            lambda x: amount * x * x / 2,
            lambda x: amount * (1 - math.cos(2 * math.pi * waves * x)) / (2 * math.pi * waves),
        )
    )
    return Player(rng, sd, rng.uniform(-lead, lead), bend)


@dataclass
class Performance:
    pattern: Pattern
    tempo: int
    hits: list[Hit]
    planted: dict[int, set[str]]
    meant: list[tuple[int, int]]  # slot, hit
    player: Player


def perform(
    pattern: Pattern, tempo: int, player: Player, mistakes: float = 0.0, accents: bool = True
) -> Performance:
    """Play the pattern, each slot misread with chance ``mistakes`` in one of the ways that it can be."""
    rng = player.rng
    slow = pattern.at_tempo(tempo)
    length = slow.seconds(slow.length)
    step = rng.uniform(3.5, 5.0)
    hits: list[Hit] = []
    meant: list[tuple[int, int]] = []
    planted: dict[int, set[str]] = {}
    for place in pattern.places:
        slot = place.slot
        at = player.time(slow.seconds(place.at), length)
        wrong = None
        if rng.random() < mistakes:
            ways = ["left out", "wrong hand", "mute"] if place.struck else ["extra"]
            if place.struck and accents and comparable(pattern):
                ways.append("accent")
            wrong = rng.choice(ways)
        if wrong == "left out" or (not place.struck and wrong is None):
            if wrong:
                planted[place.index] = {"left out"}
            continue
        hand, muted, accent = slot.hand, slot.muted, slot.accent
        if wrong == "extra":
            hand = "down" if place.number % 2 == 0 else "up"
            planted[place.index] = {"extra"}
        elif wrong == "wrong hand":
            hand = OTHER[hand]
            planted[place.index] = {"wrong hand"}
        elif wrong == "mute":
            planted[place.index] = {"mute missed" if muted else "mute added"}
            muted = not muted
        elif wrong == "accent":
            planted[place.index] = {"accent missed" if accent else "accent added"}
            accent = not accent
        meant.append((place.index, len(hits)))
        hits.append(Hit(at, hand, muted, player.force(accent, step)))
    return Performance(pattern, tempo, hits, planted, meant, player)


def comparable(pattern: Pattern) -> bool:
    """Whether there are plain strokes enough to tell an accent by."""
    return sum(place.struck and not place.slot.accent for place in pattern.places) >= 3


def shipped() -> list[Pattern]:
    decks, faults = load_decks()
    assert not faults
    return [one.pattern for deck in decks for one in deck.patterns]


def tempo_for(pattern: Pattern, rng: random.Random) -> int:
    low, high = 55, 150
    slot = min(pattern.at_tempo(60).seconds(place.length) for place in pattern.places)
    return rng.randint(low, max(low, min(high, int(60 * slot / FASTEST))))


def performances(seed: int, count: int, sd: float, mistakes: float) -> Iterator[Performance]:
    rng = random.Random(seed)
    patterns = shipped()
    for _ in range(count):
        pattern = rng.choice(patterns)
        yield perform(pattern, tempo_for(pattern, rng), a_player(rng, sd), mistakes)


def tally(played: Iterator[Performance]) -> Counter[str]:
    """How many planted mistakes were named at their slot, and how many clean slots were faulted."""
    seen: Counter[str] = Counter()
    for one in played:
        result: StrumResult = grade_strum(one.pattern, one.tempo, one.hits)
        seen["takes"] += 1
        seen["set aside"] += not result.scored
        for slot in result.slots:
            planted = one.planted.get(slot.index, set())
            if planted:
                seen["planted"] += 1
                seen["named"] += planted <= slot.verdicts
                seen["named alone"] += planted == slot.verdicts
            else:
                seen["clean"] += 1
                seen["faulted"] += bool(slot.verdicts)
                seen["misread"] += slot.misread
        if not result.scored:
            seen["planted"] += len(one.planted)
    return seen


@pytest.mark.parametrize(
    ("sd", "most_missed", "most_faulted"), [(0.015, 0.015, 0.005), (0.035, 0.06, 0.02)], ids=["15ms", "35ms"]
)
def test_planted_misreadings_are_named_at_their_slot_and_clean_slots_are_not_faulted(
    sd, most_missed, most_faulted
) -> None:
    seen = tally(performances(seed=round(sd * 1e5), count=700, sd=sd, mistakes=0.1))
    assert seen["planted"] > 600
    assert 1 - seen["named"] / seen["planted"] <= most_missed, seen
    assert seen["faulted"] / seen["clean"] < most_faulted, seen
    assert seen["set aside"] <= 3, seen  # a page of one or two strokes of which none was struck


def test_clean_performances_are_found_clean() -> None:
    seen = tally(performances(seed=4, count=300, sd=0.015, mistakes=0.0))
    assert seen["set aside"] == 0
    assert seen["faulted"] / seen["clean"] < 0.002


def test_strokes_go_to_the_slots_that_mir_eval_matches_them_to() -> None:
    """mir_eval 0.8: match_events finds the largest matching within 50 ms (MIREX's onset tolerance).

    It is told the players' true lead and tempo, which the grader has to find out. Strokes are 110 ms apart at
    least, so that at SD 15 ms there is one right matching and both should find it.
    """
    both = ours_only = theirs_only = 0
    for one in performances(seed=99, count=1000, sd=0.015, mistakes=0.08):
        result = grade_strum(one.pattern, one.tempo, one.hits)
        struck = [place for place in one.pattern.places if place.struck]
        slow = one.pattern.at_tempo(one.tempo)
        length = slow.seconds(slow.length)
        due = [
            at + length * one.player.bend(at / length) - one.player.lead
            for at in (slow.seconds(place.at) for place in struck)
        ]
        played = [hit.time for hit in one.hits]
        found = mir_eval.util.match_events(np.array(due), np.array(played), 0.05)
        theirs = {(struck[ref].index, est) for ref, est in found}
        ours = {
            (slot.index, slot.hit)
            for slot in result.slots
            if slot.hit is not None and one.pattern.places[slot.index].struck
        }
        both += len(ours & theirs)
        ours_only += len(ours - theirs)
        theirs_only += len(theirs - ours)
    assert both > 6000
    assert theirs_only / both < 0.0005
    assert ours_only / both < 0.003  # strokes more than 50 ms off: 3.3 SD, 1 in 1000


@pytest.mark.parametrize("sd", [0.015, 0.03])
def test_lead_and_tempo_are_found_apart_from_misreadings(sd) -> None:
    rng = random.Random(8)
    patterns = [pattern for pattern in shipped() if len(pattern.strokes) >= 8]
    off: list[float] = []
    drift: list[float] = []
    for _ in range(150):
        pattern = rng.choice(patterns)
        slope = rng.uniform(-0.03, 0.03)
        player = Player(rng, sd, rng.uniform(-0.08, 0.08), lambda x, slope=slope: slope * x)
        one = perform(pattern, tempo_for(pattern, rng), player, 0.08)
        result = grade_strum(one.pattern, one.tempo, one.hits)
        off.append(result.lead - player.lead)
        drift.append(result.drift - (1 / (1 + slope) - 1))
    # Least squares finds the intercept of n strokes with an SD of about 2 sd / sqrt(n).
    assert np.sqrt(np.mean(np.square(off))) < sd
    assert abs(np.mean(off)) < 0.005
    assert np.sqrt(np.mean(np.square(drift))) < 0.015
