"""A student's answers counted by week, from which every table of the desk is made without the log.

Conventions: a week is a whole number, Mondays from 1 January of year 1 (``week_of``); days are the learner's
own. An answer that was helped counts for the day that it took time of, and for nothing else; one that was
taken back does not come out of the log at all. Counts add up in any order, so that several records of one
child make one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from drillapp.drills.pick import counted
from drillapp.learning import corrected
from drillapp.records import Entry
from drillapp.records.entries import day_of
from drillapp.records.spent import spent

VERSION = 1
Read = tuple[int, tuple[str, ...], float, bool, bool, bool]
"""Week, features, guess rate, first-seen, sure, right."""
Mix = tuple[int, tuple[str, ...], str, str]
"""Week, features, what was written, what it was read as (where that was told)."""


@dataclass(frozen=True)
class Share:
    """So many signs read, so many right, and the share right without guessing with its 95 % interval."""

    count: int
    right: int
    low: float
    middle: float
    high: float


NOTHING = Share(0, 0, 0.0, 0.5, 1.0)


@dataclass
class Counts:
    """The answers of one student, counted. ``last``: UTC seconds of the newest, 0 where there is none."""

    answers: int = 0
    last: float = 0.0
    reads: Counter[Read] = field(default_factory=Counter)
    mixes: Counter[Mix] = field(default_factory=Counter)
    questions: Counter[date] = field(default_factory=Counter)
    milliseconds: Counter[date] = field(default_factory=Counter)

    def add(self, entry: Entry) -> None:
        """Count an answer."""
        day = day_of(entry.when, entry.offset)
        self.answers += 1
        self.last = max(self.last, entry.when)
        self.questions[day] += 1
        self.milliseconds[day] += spent(entry.seconds)
        if entry.helped:
            return
        week, first_seen, sure = week_of(day), entry.first_seen, entry.sure
        reads, mixes = self.reads, self.mixes
        for features, written, read, correct, guess in entry.factors:
            reads[week, features, guess, first_seen, sure, correct] += 1
            if read is not None:
                mixes[week, features, written, read] += 1

    def take_in(self, other: Counts) -> None:
        """Count another record of the same child too."""
        self.answers += other.answers
        self.last = max(self.last, other.last)
        self.reads.update(other.reads)
        self.mixes.update(other.mixes)
        self.questions.update(other.questions)
        self.milliseconds.update(other.milliseconds)

    @property
    def minutes(self) -> float:
        """Minutes of all days, with a look at each explanation."""
        return sum(self.milliseconds.values()) / 60_000

    def since(self, day: date) -> Counts:
        """What was counted from the Monday of that day's week on."""
        week = week_of(day)
        kept = Counts(last=self.last)
        kept.reads = Counter({key: count for key, count in self.reads.items() if key[0] >= week})
        kept.mixes = Counter({key: count for key, count in self.mixes.items() if key[0] >= week})
        for one, count in self.questions.items():
            if week_of(one) >= week:
                kept.questions[one], kept.milliseconds[one] = count, self.milliseconds[one]
        kept.answers = sum(kept.questions.values())
        return kept


def count(entries: Iterable[Entry]) -> Counts:
    """The answers of one student, counted."""
    made = Counts()
    for entry in entries:
        made.add(entry)
    return made


def week_of(day: date) -> int:
    """The week of a day: Monday to Sunday have one number (ISO 8601 weeks, counted through).

    >>> week_of(date(2026, 11, 23)) == week_of(date(2026, 11, 29)) == week_of(date(2026, 11, 30)) - 1
    True
    """
    return (day.toordinal() - 1) // 7


def monday_of(week: int) -> date:
    """The first day of a week."""
    return date.fromordinal(week * 7 + 1)


@dataclass
class Sum:
    """A share as it is summed: what was right, and how many of it guessing would have got."""

    count: int = 0
    right: int = 0
    guessed: float = 0.0

    def add(self, number: int, guess: float, sure: bool, right: bool) -> None:
        """So many reads alike. Not sure is no guess: fewer answers were lucky."""
        self.count += number
        self.right += number * right
        self.guessed += number * guess * sure

    def share(self) -> Share:
        """Corrected for guessing, with Wilson's interval carried over (``learning.corrected``)."""
        if not self.count:
            return NOTHING
        one = corrected(self.right, self.count, self.guessed / self.count)
        return Share(self.count, self.right, one.low, one.value, one.high)


def sums(counts: Iterable[Counts]) -> dict[str, Sum]:
    """Each sign that was read, summed over all of these."""
    alike: Counter[tuple[tuple[str, ...], float, bool, bool]] = Counter()
    for one in counts:
        for (_, features, guess, _, sure, right), number in one.reads.items():
            alike[features, guess, sure, right] += number
    found: dict[str, Sum] = {}
    # In one order, for the sum of what guessing gets depends on it in its last digits.
    for (features, guess, sure, right), number in sorted(alike.items()):
        for feature in counted(features):
            found.setdefault(feature, Sum()).add(number, guess, sure, right)
    return found


def shares(counts: Counts) -> dict[str, Share]:
    """The share of each sign that was read, over all that was counted."""
    return {feature: one.share() for feature, one in sums((counts,)).items()}


def to_row(counts: Counts) -> dict[str, Any]:
    """The counts as a JSON object; sets of features are written once."""
    sets: dict[tuple[str, ...], int] = {}

    def number(features: tuple[str, ...]) -> int:
        return sets.setdefault(features, len(sets))

    reads = [[w, number(f), g, a, b, c, n] for (w, f, g, a, b, c), n in counts.reads.items()]
    mixes = [[w, number(f), a, b, n] for (w, f, a, b), n in counts.mixes.items()]
    days = [[day.toordinal(), n, counts.milliseconds[day]] for day, n in counts.questions.items()]
    return {
        "version": VERSION,
        "answers": counts.answers,
        "last": counts.last,
        "sets": [list(one) for one in sets],
        "reads": reads,
        "mixes": mixes,
        "days": days,
    }


def from_row(data: dict[str, Any]) -> Counts:
    """The counts of such an object. Raises ValueError where it is none of this version."""
    if data.get("version") != VERSION:
        raise ValueError(f"counts of version {data.get('version')!r}; this one reads {VERSION}")
    try:
        sets = [tuple(one) for one in data["sets"]]
        made = Counts(data["answers"], data["last"])
        made.reads = Counter({(w, sets[f], g, a, b, c): n for w, f, g, a, b, c, n in data["reads"]})
        made.mixes = Counter({(w, sets[f], a, b): n for w, f, a, b, n in data["mixes"]})
        for ordinal, number, spent_there in data["days"]:
            day = date.fromordinal(ordinal)
            made.questions[day], made.milliseconds[day] = number, spent_there
        return made
    except (KeyError, IndexError, TypeError, OverflowError) as error:
        raise ValueError(f"no counts ({error})") from None
