"""How a learner stands: accuracy by feature, from the answers in the log.

Accuracy is corrected for guessing and carries its Wilson interval and count. Patterns that were never
seen before and patterns met before are kept apart: reading is not remembering.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from drillapp.drills.pick import BASIC
from drillapp.learning import Planner, corrected, diagnose
from drillapp.music import FEATURES
from drillapp.records import Answer, Observation, evidence_of

ERROR_RATE = 0.05  # the chance, over all signs and however often one looks, that one is called weak wrongly
TREND_DAYS = 7  # a point of the trend looks back over so many days
MAX_POINTS = 60


@dataclass(frozen=True)
class Reading:
    """Accuracy of one feature: the middle and the interval (0 to 1) and the answers behind it.

    ``weak``: all evidence together shows, at the stated error rate, that it is read worse than the
    learner's other signs.
    """

    feature: str
    opened: bool
    low: float
    middle: float
    high: float
    count: int
    weak: bool


@dataclass(frozen=True)
class TrendPoint:
    """Accuracy over the week up to and with ``day``, on all patterns."""

    day: date
    low: float
    middle: float
    high: float
    count: int


@dataclass(frozen=True)
class Confusion:
    """One way that was read as another, ``wrong`` times of the ``of`` that it was written."""

    written: str
    read: str
    wrong: int
    of: int


@dataclass(frozen=True)
class FeatureProgress:
    """How one feature stands: ``expected`` is the memory's accuracy for today, without guessing.

    ``confusions``: what is read as what, most frequent first.
    """

    feature: str
    opened: bool
    first_seen: Reading
    met_before: Reading
    trend: tuple[TrendPoint, ...]
    expected: float
    confusions: tuple[Confusion, ...]


def readings_of(seen: Sequence[Observation], planner: Planner, now: float) -> tuple[Reading, ...]:
    """Each feature's accuracy on first-seen patterns, in the order of the course."""
    opened = set(planner.open(now))
    by_feature = _by_feature(one for one in seen if one.first_seen)
    weak = _weak(seen, planner, now)
    return tuple(
        _reading(feature, by_feature[feature], feature in opened, feature in weak) for feature in FEATURES
    )


def progress_of(answers: Sequence[Answer], planner: Planner, now: float) -> tuple[FeatureProgress, ...]:
    """How each feature stands, in the order of the course."""
    opened = set(planner.open(now))
    seen = [(answer.day, one) for answer in answers for one in evidence_of(answer)]
    first = _by_feature(one for _, one in seen if one.first_seen)
    met = _by_feature(one for _, one in seen if not one.first_seen)
    dated: dict[str, list[tuple[date, Observation]]] = defaultdict(list)
    for day, one in seen:
        for feature in counted(one.features):
            dated[feature].append((day, one))
    weak = _weak([one for _, one in seen], planner, now)
    confused = _confusions(answers)
    return tuple(
        FeatureProgress(
            feature,
            feature in opened,
            _reading(feature, first[feature], feature in opened, feature in weak),
            _reading(feature, met[feature], feature in opened, feature in weak),
            _trend(dated[feature]),
            planner.memory.predict((feature,), now),
            confused[feature],
        )
        for feature in FEATURES
    )


def counted(features: Sequence[str]) -> tuple[str, ...]:
    """The features that an answer is counted for in tables.

    A tie missed on 3 is also a dash and a beat misread; every sign stands on some beat. So that the table
    points at the sign that went wrong, beats, offbeats and skips are counted only where no other is at stake.

    >>> counted(("tie", "beat", "skip")), counted(("beat", "skip"))
    (('tie',), ('beat', 'skip'))
    """
    specific = tuple(feature for feature in features if feature not in BASIC)
    return specific or tuple(features)


def _weak(seen: Sequence[Observation], planner: Planner, now: float) -> set[str]:
    """The features shown to be read worse than the learner's own level, which the memory tells."""
    level = planner.memory.level(now)
    if level is None:
        return set()
    return set(diagnose(seen, ERROR_RATE, level=level).weak)


def _by_feature(seen: Iterable[Observation]) -> defaultdict[str, list[Observation]]:
    found: defaultdict[str, list[Observation]] = defaultdict(list)
    for one in seen:
        for feature in counted(one.features):
            found[feature].append(one)
    return found


def _reading(feature: str, seen: Sequence[Observation], opened: bool, weak: bool) -> Reading:
    low, middle, high = _accuracy(seen)
    return Reading(feature, opened, low, middle, high, len(seen), weak)


def _accuracy(seen: Sequence[Observation]) -> tuple[float, float, float]:
    right = sum(one.correct for one in seen)
    # Not sure is no guess, so it lowers the chance of lucky answers.
    guess = sum(one.guess for one in seen if one.sure) / len(seen) if seen else 0.5
    interval = corrected(right, len(seen), guess)
    return interval.low, interval.value, interval.high


def _trend(dated: Sequence[tuple[date, Observation]]) -> tuple[TrendPoint, ...]:
    points = []
    for day in sorted({day for day, _ in dated})[-MAX_POINTS:]:
        window = [one for other, one in dated if day - timedelta(days=TREND_DAYS) < other <= day]
        low, middle, high = _accuracy(window)
        points.append(TrendPoint(day, low, middle, high, len(window)))
    return tuple(points)


def _confusions(answers: Iterable[Answer]) -> defaultdict[str, tuple[Confusion, ...]]:
    """For each feature the misreadings, most frequent first, up to four."""
    wrong: Counter[tuple[str, str, str]] = Counter()
    shown: Counter[tuple[str, str]] = Counter()
    for answer in answers:
        for factor in () if answer.helped else answer.factors:
            for feature in counted(factor.features):
                shown[feature, factor.written] += 1
                if factor.read is not None and factor.read != factor.written:
                    wrong[feature, factor.written, factor.read] += 1
    found: defaultdict[str, tuple[Confusion, ...]] = defaultdict(tuple)
    for (feature, written, read), count in wrong.most_common():
        one = Confusion(written, read, count, shown[feature, written])
        found[feature] = (*found[feature], one)[:4]
    return found
