"""What was answered, counted: kept up answer by answer, so that no screen has to go through the log.

Conventions: an answer is a whole one or an entry of the log, which are counted alike; the order in which they
come makes no difference to a count. Days are the learner's own. An answer that was helped counts for the day
that it took time of, and for nothing else.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from typing import Any, Protocol

from drillapp.records.entries import day_of
from drillapp.records.spent import spent

Cell = tuple[tuple[str, ...], float, bool, bool, bool]
"""Features, guess rate, first-seen, sure, right."""
Mix = tuple[tuple[str, ...], str, str | None]
"""Features, what was written, what it was read as."""
DAY = 86_400.0
RECENT = 30 * DAY


class SignTold(Protocol):
    """One factor of an answer."""

    @property
    def features(self) -> tuple[str, ...]: ...
    @property
    def written(self) -> str: ...
    @property
    def read(self) -> str | None: ...
    @property
    def correct(self) -> bool: ...
    @property
    def guess(self) -> float: ...


class Answered(Protocol):
    """What is counted of an answer: `drillapp.records.Answer` and its `Entry` have it."""

    @property
    def when(self) -> float: ...
    @property
    def offset(self) -> int: ...
    @property
    def first_seen(self) -> bool: ...
    @property
    def sure(self) -> bool: ...
    @property
    def seconds(self) -> float: ...
    @property
    def asked(self) -> tuple[str, ...]: ...
    @property
    def helped(self) -> bool: ...
    @property
    def factors(self) -> Sequence[SignTold]: ...


@dataclass(frozen=True)
class DayCount:
    """One day: questions answered, and the minutes that they took with a look at each explanation."""

    day: date
    questions: int
    minutes: float


@dataclass
class Tally:
    """Counts over all answers of one learner.

    ``cells``: how often each outcome came; ``mixes``: what was read as what; ``recent``: time, first feature
    asked for ("" where none) and seconds of the answers of about a month, oldest first.
    """

    answers: int = 0
    cells: Counter[Cell] = field(default_factory=Counter)
    mixes: Counter[Mix] = field(default_factory=Counter)
    recent: deque[tuple[float, str, float]] = field(default_factory=deque)
    _questions: Counter[date] = field(default_factory=Counter)
    _milliseconds: Counter[date] = field(default_factory=Counter)

    def add(self, answer: Answered) -> None:
        """Count an answer."""
        self._count(answer, 1)
        if answer.helped:
            return
        recent = self.recent
        recent.append(_timed(answer))
        while recent[0][0] < answer.when - RECENT:
            recent.popleft()

    def take_out(self, answer: Answered) -> None:
        """Count an answer no longer, which was counted before."""
        self._count(answer, -1)
        if not answer.helped:
            self.recent.remove(_timed(answer))

    def lately(self, now: float) -> list[tuple[str, float]]:
        """First feature asked for and seconds of the answers of a month, oldest first."""
        return [(feature, seconds) for when, feature, seconds in self.recent if when >= now - RECENT]

    def days(self, until: date, count: int) -> tuple[DayCount, ...]:
        """So many days up to and with ``until``, those without an answer too."""
        days = [until - timedelta(days=back) for back in reversed(range(count))]
        return tuple(DayCount(day, self._questions[day], self._milliseconds[day] / 60_000) for day in days)

    def _count(self, answer: Answered, by: int) -> None:
        self.answers += by
        day = day_of(answer.when, answer.offset)
        self._questions[day] += by
        self._milliseconds[day] += by * spent(answer.seconds)
        first_seen, sure = answer.first_seen, answer.sure
        cells, mixes = self.cells, self.mixes
        for sign in () if answer.helped else answer.factors:
            features, correct = sign.features, sign.correct
            cells[features, sign.guess, first_seen, sure, correct] += by
            mixes[features, sign.written, sign.read] += by
        if by < 0:
            kept: tuple[Counter[Any], ...] = (self.cells, self.mixes, self._questions, self._milliseconds)
            for counter in kept:
                for key in [key for key, count in counter.items() if not count]:
                    del counter[key]


def with_played(days: Sequence[DayCount], played: Sequence[tuple[float, float]]) -> tuple[DayCount, ...]:
    """The days with the minutes of times played along, (start, end) in UTC seconds, by this device's zone."""
    more: Counter[date] = Counter()
    for start, end in played:
        more[datetime.fromtimestamp(start).astimezone().date()] += round(1000 * (end - start))
    return tuple(replace(one, minutes=one.minutes + more[one.day] / 60_000) for one in days)


def _timed(answer: Answered) -> tuple[float, str, float]:
    return answer.when, answer.asked[0] if answer.asked else "", answer.seconds
