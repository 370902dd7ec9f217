"""What is known of one learner: the planner with its memory, the counts, and how expectations went.

All of it is made from the log in one pass, and kept up answer by answer; both ways it comes to the same.
Times are UTC seconds.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from drillapp.learning import Expected, Memory, Planner, expect
from drillapp.music import FEATURES
from drillapp.practice.conditions import conditions_of
from drillapp.records import Entry
from drillapp.records.entries import day_of

from .tally import Answered, Tally

MOST_DAYS = 60


@dataclass(frozen=True)
class DayEnd:
    """What was expected of each sign that had been practised, at the last answer of a day."""

    day: date
    expected: Mapping[str, Expected]


@dataclass
class Known:
    """What is known of one learner.

    ``rows``: how many answers the log had for it, to be told where another program adds to them.
    """

    learner: str
    planner: Planner
    tally: Tally = field(default_factory=Tally)
    rows: int = 0
    _ends: deque[DayEnd] = field(default_factory=lambda: deque(maxlen=MOST_DAYS))
    _last: tuple[date, float] | None = None
    _before: tuple[tuple[DayEnd, ...], tuple[date, float] | None] = ((), None)

    def take_in(self, entries: Sequence[Entry]) -> None:
        """Learn from the answers of a log, in their order."""
        memory = self.planner.memory
        days = sorted({day_of(entry.when, entry.offset) for entry in entries})[-MOST_DAYS:]
        first = days[0] if days else date.min
        for entry in entries:
            self._count(entry, first)
            conditions = conditions_of(entry.first_seen, entry.pattern, entry.tempo, entry.layers)
            for sign in () if entry.helped else entry.factors:
                memory.observe(sign.features, sign.correct, entry.when, sign.guess, conditions)
        self.rows += len(entries)

    def add(self, answer: Answered) -> None:
        """Count an answer, before the planner is told of it."""
        self._before = tuple(self._ends), self._last
        self._count(answer, date.min)
        self.rows += 1

    def take_out(self, answer: Answered) -> None:
        """Count the answer that was added last no longer; the planner has to go back by itself."""
        self.tally.take_out(answer)
        ends, self._last = self._before
        self._ends = deque(ends, maxlen=MOST_DAYS)
        self.rows -= 1

    def course(self, now: float) -> tuple[DayEnd, ...]:
        """What was expected at the end of each day of practice, oldest first, up to MOST_DAYS."""
        if self._last is None:
            return ()
        return (*self._ends, self._end(*self._last))[-MOST_DAYS:]

    def _count(self, answer: Answered, first: date) -> None:
        day = day_of(answer.when, answer.offset)
        if self._last is not None and day > self._last[0] and self._last[0] >= first:
            self._ends.append(self._end(*self._last))
        if self._last is None or day >= self._last[0]:
            self._last = day, answer.when
        self.tally.add(answer)

    def _end(self, day: date, when: float) -> DayEnd:
        memory: Memory = self.planner.memory
        known = (expect(memory, feature, when) for feature in FEATURES)
        return DayEnd(day, {one.feature: one for one in known if one.count})
