"""The plan of a drill as it is shown and kept: its lines, its form on disk, and how long questions take."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Any

from drillapp.drills.plan import MOST_ITEMS, Plan, Reason, reason_of
from drillapp.learning import FRESH, Planner
from drillapp.records import Learner
from drillapp.records.spent import LOOK_SECONDS, SLOWEST
from drillapp.records.work_rows import WorkDone

from .notice import Notice
from .standing import Reading
from .tally import DayCount

USUAL_SECONDS = 45.0  # a question with its answer and a look at the explanation, before there is a record

SIGNS_A_QUESTION = 2

ENOUGH_TIMES = 8  # answers about a feature from which what one takes is known

CHEAPEST, DEAREST = 0.5, 2.0

LATELY, ENOUGH_ANSWERS = 60, 10  # answers that say how long a question takes: the last so many, and no fewer

QUICKEST = 20.0  # s that a question is taken to need at least

FEWEST, MOST = 6, 60


@dataclass(frozen=True)
class PlanLine:
    """A line of today's plan: a feature (or "fresh": patterns never seen), why, and how many questions."""

    feature: str
    why: str
    count: int
    reason: Reason


@dataclass(frozen=True)
class Today:
    """``days``: the last six weeks, oldest first; ``notices``: what to tell; ``work``: what is set."""

    learner: Learner
    minutes: int
    questions: int
    lines: tuple[PlanLine, ...]
    readings: tuple[Reading, ...]
    days: tuple[DayCount, ...]
    unfinished: bool
    notices: tuple[Notice, ...] = ()
    work: WorkDone | None = None


@dataclass(frozen=True)
class Begun:
    """What a sitting was begun with, as it is kept on disk: at most ``count`` questions.

    Of today's drill, where it is not of one ``deck``, of one ``pattern`` or a Reading ``check``.

    ``plan``: what they are; None for a check, which has none, and where an earlier version kept none.
    """

    count: int
    deck: str | None = None
    pattern: bool = False
    check: bool = False
    plan: Plan | None = None

    @property
    def drill(self) -> bool:
        """Whether it is today's drill."""
        return not (self.deck or self.pattern or self.check)

    def to_dict(self) -> dict[str, Any]:
        """As JSON can hold it."""
        kept: dict[str, Any] = {"count": self.count, "deck": self.deck, "pattern": self.pattern}
        plan = {} if self.plan is None else {"plan": self.plan.to_dict()}
        return {**kept, "check": self.check, **plan}

    @classmethod
    def from_dict(cls, value: Mapping[str, Any]) -> Begun:
        """What such a dict says, and what one of earlier versions does, which had no plan in it.

        Raises ValueError, saying what is wrong, for anything else.
        """
        unknown = sorted(set(value) - {"count", "deck", "pattern", "check", "plan"})
        if unknown:
            raise ValueError(f"{unknown[0]!r} is not part of a plan")
        count, deck = value.get("count"), value.get("deck")
        pattern, check = value.get("pattern", False), value.get("check", False)
        if not isinstance(count, int) or isinstance(count, bool) or not 1 <= count <= MOST_ITEMS:
            raise ValueError(f"count is a whole number from 1 to {MOST_ITEMS}, not {count!r}")
        if deck is not None and not isinstance(deck, str):
            raise ValueError(f"deck is a name or null, not {deck!r}")
        if not isinstance(pattern, bool) or not isinstance(check, bool):
            raise ValueError("pattern and check are true or false")
        plan = Plan.from_dict(value["plan"]) if "plan" in value else None
        if plan is not None and len(plan.items) != count:
            raise ValueError(f"the plan has {len(plan.items)} questions where count is {count}")
        return cls(count, deck, pattern, check, plan)


def lines_of(plan: Plan, planner: Planner, now: float) -> tuple[PlanLine, ...]:
    """The lines that a plan's questions stand under, most questions first and fresh patterns last."""
    counts = Counter(item.line for item in plan.items)
    lines = [
        PlanLine(feature, why, count, reason_of(planner, feature, why, now))
        for (feature, why), count in counts.most_common()
    ]
    return tuple(sorted(lines, key=lambda line: line.feature == FRESH))


def weightiest(lines: Sequence[PlanLine], most: int) -> tuple[tuple[PlanLine, ...], frozenset[str]]:
    """The lines with most questions, up to so many and in their order; and the signs that only others hold.

    Fresh patterns, which are no sign, are always among the lines.
    """
    ranked = sorted(lines, key=lambda line: (line.feature != FRESH, -line.count))
    shown = tuple(line for line in lines if line in ranked[:most])
    return shown, frozenset(line.feature for line in ranked[most:]) - {line.feature for line in shown}


def questions_in(minutes: float, taken: Sequence[float]) -> int:
    """How many questions fill so many minutes, from the seconds that the last answers took, newest last."""
    lately = taken[-LATELY:]
    each = median(lately) + LOOK_SECONDS if len(lately) >= ENOUGH_ANSWERS else USUAL_SECONDS
    questions = round(minutes * 60 / min(max(each, QUICKEST), SLOWEST))
    return min(max(questions, FEWEST), MOST)


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
