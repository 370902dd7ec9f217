"""The plan of a drill: its lines, and how long questions take."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from drillapp.records import Learner

from .standing import Reading

USUAL_SECONDS = 45.0  # a question with its answer and a look at the explanation, before there is a record

LOOK_SECONDS = 12.0  # of which for looking at the explanation

SIGNS_A_QUESTION = 2

ENOUGH_TIMES = 8  # answers about a feature from which what one takes is known

CHEAPEST, DEAREST = 0.5, 2.0


@dataclass(frozen=True)
class PlanLine:
    """A line of today's plan: a feature (or "fresh": patterns never seen), why, and how many questions."""

    feature: str
    why: str
    phrase: str
    count: int


@dataclass(frozen=True)
class Today:
    learner: Learner
    minutes: int
    questions: int
    lines: tuple[PlanLine, ...]
    readings: tuple[Reading, ...]
    unfinished: bool


def costs_of(taken: Iterable[tuple[str, float]]) -> dict[str, float]:
    """How long a question about each feature takes, as a multiple of the usual, from (feature, seconds).

    The look at the explanation is in it; bounded, so that a few long pauses do not drive a feature out of the
    plan. Features with few answers are left out.

    >>> costs_of([("tie", 8.0)] * 20 + [("beat", 28.0)] * 10)
    {'tie': 1.0, 'beat': 2.0}
    """
    times: defaultdict[str, list[float]] = defaultdict(list)
    for feature, seconds in taken:
        times[feature].append(seconds + LOOK_SECONDS)
    if not times:
        return {}
    usual = median(seconds for each in times.values() for seconds in each)
    return {
        feature: min(max(median(each) / usual, CHEAPEST), DEAREST)
        for feature, each in times.items()
        if len(each) >= ENOUGH_TIMES
    }
