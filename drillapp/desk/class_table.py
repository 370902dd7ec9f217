"""A class's figures: students by signs, and what most of the class misreads. From counts, not from the log.

Conventions: as in ``counts``; students are given as (id, name, counts), by name where they are shown.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from drillapp.drills.pick import counted
from drillapp.music import FEATURES

from .counts import NOTHING, Counts, Share, shares, sums
from .findings import ERROR_RATE, find_weak_in_class, missing

LINE = 0.8
"""A sign is read too seldom right where fewer than so many are: the class's sentence says 8 in 10."""
ENOUGH = 8
"""Reads of a sign from which a student counts in the class's sentence."""
FEWEST = 3
"""Students with ENOUGH, from which anything is said of the class."""


@dataclass(frozen=True)
class ClassStudent:
    """A student of the class as it is handed in; no answers where nothing was handed in."""

    id: str
    name: str
    counts: Counts


@dataclass(frozen=True)
class Cell:
    """One student's reading of one sign. ``missing``: about how many more reads would tell."""

    share: Share
    weak: bool = False
    missing: int | None = None


@dataclass(frozen=True)
class ClassRow:
    """One student: a cell for each sign of the table, in its order."""

    id: str
    name: str
    answers: int
    minutes: float
    days: int
    last: date | None
    cells: tuple[Cell, ...]

    @property
    def handed_in(self) -> bool:
        """Whether there is any answer of the time looked at."""
        return self.answers > 0


@dataclass(frozen=True)
class MisreadByMost:
    """A sign that most of the class misreads, and the evidence for it.

    ``below`` of the ``of`` students with enough answers read fewer than LINE; ``read`` is what it is mostly
    taken for when it is misread (None where that was never told), ``written`` what it then was.
    """

    feature: str
    below: int
    of: int
    written: str | None
    read: str | None
    answers: int
    weeks: int


@dataclass(frozen=True)
class ClassTable:
    """The class: ``signs`` are the columns, those that anyone has read, in the order of the course."""

    signs: tuple[str, ...]
    rows: tuple[ClassRow, ...]
    by_most: tuple[MisreadByMost, ...]
    error_rate: float

    @property
    def absent(self) -> tuple[str, ...]:
        """Names of those who have not handed in."""
        return tuple(row.name for row in self.rows if not row.handed_in)


def class_table(
    students: Iterable[ClassStudent], since: date | None = None, error_rate: float = ERROR_RATE
) -> ClassTable:
    """The table of a class. ``error_rate``: chance of any false name in the whole table."""
    chosen = [
        one if since is None else ClassStudent(one.id, one.name, one.counts.since(since)) for one in students
    ]
    found = find_weak_in_class({one.id: one.counts for one in chosen if one.counts.reads}, error_rate)
    by_student = {one.id: shares(one.counts) for one in chosen}
    read = {feature for mine in by_student.values() for feature in mine}
    signs = tuple(one for one in (*FEATURES, *sorted(read - set(FEATURES))) if one in read)
    rows = []
    for one in chosen:
        mine, told = by_student[one.id], found.get(one.id)
        weak = set(told.weak) if told else set()
        needed = missing(told) if told else {}
        days = one.counts.questions
        rows.append(
            ClassRow(
                one.id,
                one.name,
                one.counts.answers,
                one.counts.minutes,
                len(days),
                max(days, default=None),
                tuple(Cell(mine.get(sign, NOTHING), sign in weak, needed.get(sign)) for sign in signs),
            )
        )
    by_most = misread_by_most([one.counts for one in chosen], tuple(by_student.values()), signs)
    return ClassTable(signs, tuple(rows), by_most, error_rate)


def misread_by_most(
    counts: Sequence[Counts], by_student: Sequence[Mapping[str, Share]], signs: Sequence[str]
) -> tuple[MisreadByMost, ...]:
    """The signs that more than half of the class read below LINE, the plainest first.

    ``by_student``: the shares of each one's counts. So that chance alone names nothing, all the class's
    answers together must lie below LINE too, with their whole interval.
    """
    together = sums(counts)
    mixes: dict[str, Counter[tuple[str, str]]] = {}
    weeks: dict[str, set[int]] = {}
    for week, features in {(week, features) for one in counts for week, features, *_ in one.reads}:
        for feature in counted(features):
            weeks.setdefault(feature, set()).add(week)
    for one in counts:
        for (_, features, written, read), number in one.mixes.items():
            if read != written:
                for feature in counted(features):
                    mixes.setdefault(feature, Counter())[written, read] += number
    found = []
    for feature in signs:
        enough = [mine[feature] for mine in by_student if feature in mine and mine[feature].count >= ENOUGH]
        below = sum(share.middle < LINE for share in enough)
        whole = together[feature].share()
        if len(enough) < FEWEST or 2 * below <= len(enough) or whole.high >= LINE:
            continue
        taken = mixes.get(feature)
        mix: tuple[str | None, str | None] = (None, None)
        if taken:
            mix = min(taken.items(), key=lambda one: (-one[1], one[0]))[0]
        span = max(weeks[feature]) - min(weeks[feature]) + 1
        found.append(MisreadByMost(feature, below, len(enough), *mix, whole.count, span))
    return tuple(sorted(found, key=lambda one: (-one.below / one.of, signs.index(one.feature))))
