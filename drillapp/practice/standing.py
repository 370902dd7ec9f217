"""How a learner stands: what is expected of each sign, and in a table of their own the answers counted.

What is expected is one value of each sign, which every screen and sentence gets. Counts are of patterns never
seen before and of patterns met before, apart: reading is not remembering. A count's share is corrected for
guessing and carries its Wilson interval.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from drillapp.drills.pick import counted
from drillapp.learning import Expected, Forecast, Planner, corrected, expect
from drillapp.learning.diagnosis import Evidences
from drillapp.music import FEATURES

from .known import DayEnd, Known
from .tally import Tally

ERROR_RATE = 0.05  # the chance, over all signs and however often one looks, that one is called weak wrongly


@dataclass(frozen=True)
class Reading:
    """How one sign is expected to be read today.

    ``weak``: all evidence together shows, at the stated error rate, that it is read worse than the
    learner's other signs.
    """

    feature: str
    opened: bool
    weak: bool
    expected: Expected


@dataclass(frozen=True)
class Counted:
    """All answers about one sign on one kind of pattern: how many, how many right.

    ``low``, ``middle``, ``high``: the share right without guessing, with its 95 % interval.
    """

    count: int
    right: int
    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class Confusion:
    """One way that was read as another, ``wrong`` times of the ``of`` that it was written."""

    written: str
    read: str
    wrong: int
    of: int


@dataclass(frozen=True)
class FeatureProgress:
    """How one feature stands.

    ``course``: what was expected at the end of each day of practice, oldest first; ``ahead``: what is
    expected in two weeks, None for a sign that was never practised; ``confusions``: what is read as what,
    most frequent first.
    """

    feature: str
    reading: Reading
    first_seen: Counted
    met_before: Counted
    course: tuple[DayEnd, ...]
    ahead: Forecast | None
    confusions: tuple[Confusion, ...]


def readings_of(known: Known, now: float) -> tuple[Reading, ...]:
    """How each sign is expected to be read, in the order of the course."""
    planner = known.planner
    opened, weak = set(planner.open(now)), _weak(known.tally, planner, now)
    return tuple(
        Reading(feature, feature in opened, feature in weak, expect(planner.memory, feature, now))
        for feature in FEATURES
    )


def in_order_of_need(readings: Sequence[Reading], planned: Collection[str]) -> tuple[Reading, ...]:
    """The readings of open signs: weak ones first, then the planned ones, then the least well read."""
    opened = (one for one in readings if one.opened)

    def rank(one: Reading) -> tuple[bool, bool, bool, float]:
        return not one.weak, one.feature not in planned, not one.expected.known, one.expected.middle

    return tuple(sorted(opened, key=rank))


def progress_of(
    known: Known, now: float, ahead: Mapping[str, Forecast] | None = None
) -> tuple[FeatureProgress, ...]:
    """How each sign stands, in the order of the course; ``ahead``: forecasts by feature."""
    counts, confused, course = _counts(known.tally), _confusions(known.tally), known.course(now)
    return tuple(
        FeatureProgress(
            one.feature,
            one,
            counts[one.feature, True],
            counts[one.feature, False],
            tuple(end for end in course if one.feature in end.expected),
            (ahead or {}).get(one.feature),
            confused[one.feature],
        )
        for one in readings_of(known, now)
    )


@dataclass(frozen=True)
class _Read:
    """So many answers that came out alike, as the diagnosis takes them."""

    features: tuple[str, ...]
    guess: float
    correct: bool


def _weak(tally: Tally, planner: Planner, now: float) -> set[str]:
    """The features shown to be read worse than the learner's own level, which the memory tells."""
    level = planner.memory.level(now)
    if level is None:
        return set()
    table = Evidences((), level)
    for (features, guess, _first, _sure, right), count in sorted(tally.cells.items()):
        table.add(_Read(features, guess, right), count)
    return set(table.judge(ERROR_RATE).weak)


def _counts(tally: Tally) -> defaultdict[tuple[str, bool], Counted]:
    """By feature and whether the pattern was first seen."""
    right: Counter[tuple[str, bool]] = Counter()
    count: Counter[tuple[str, bool]] = Counter()
    guessed: defaultdict[tuple[str, bool], float] = defaultdict(float)
    for (features, guess, first_seen, sure, correct), number in sorted(tally.cells.items()):
        for feature in counted(features):
            key = feature, first_seen
            count[key] += number
            right[key] += number * correct
            guessed[key] += number * guess * sure  # Not sure is no guess: fewer answers were lucky
    found: defaultdict[tuple[str, bool], Counted] = defaultdict(lambda: Counted(0, 0, 0.0, 0.5, 1.0))
    for key, number in count.items():
        share = corrected(right[key], number, guessed[key] / number)
        found[key] = Counted(number, right[key], share.low, share.value, share.high)
    return found


def _confusions(tally: Tally) -> defaultdict[str, tuple[Confusion, ...]]:
    """For each feature the misreadings, most frequent first, up to four."""
    wrong: Counter[tuple[str, str, str]] = Counter()
    shown: Counter[tuple[str, str]] = Counter()
    for (features, written, read), number in tally.mixes.items():
        for feature in counted(features):
            shown[feature, written] += number
            if read is not None and read != written:
                wrong[feature, written, read] += number
    found: defaultdict[str, tuple[Confusion, ...]] = defaultdict(tuple)
    for (feature, written, read), count in sorted(wrong.items(), key=lambda one: (-one[1], one[0])):
        one = Confusion(written, read, count, shown[feature, written])
        found[feature] = (*found[feature], one)[:4]
    return found
