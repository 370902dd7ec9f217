"""One student's figures: each sign, what is read as what, the pages, the timing; all from the log's entries.

Conventions: as in ``counts``. What is expected of each sign is handed in, since the memory makes it.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median

from drillapp.drills.pick import counted
from drillapp.learning import Diagnosis, Expected
from drillapp.learning.diagnosis import USUAL_LEVEL
from drillapp.music import FEATURES
from drillapp.records import Entry
from drillapp.records.entries import day_of

from .counts import NOTHING, Counts, Share, Sum, count, monday_of, week_of
from .findings import ERROR_RATE, find_weak, missing

MOST_PAGES = 10
LEAST_PAGE = 2  # answers before a page is called misread


@dataclass(frozen=True)
class Week:
    """A sign in one week, named by its Monday."""

    monday: date
    share: Share


@dataclass(frozen=True)
class SignFigures:
    """One sign. ``missing``: about how many more reads would tell whether it is weak; None where none would.

    ``expected`` is None where no memory was handed in or the sign was never read.
    """

    feature: str
    all: Share
    first_seen: Share
    met_before: Share
    weeks: tuple[Week, ...]
    weak: bool
    missing: int | None
    expected: Expected | None = None


@dataclass(frozen=True)
class ReadAs:
    """A way that was written, by sign, and one it was read as: ``times`` of the ``of`` that were told."""

    feature: str
    written: str
    read: str
    times: int
    of: int

    @property
    def right(self) -> bool:
        return self.written == self.read


@dataclass(frozen=True)
class PageFigures:
    """A page that was read ``of`` times and misread ``wrong`` times, with what it was shown on."""

    pattern: str
    meter: str
    swing: str | None
    layers: tuple[str, ...]
    wrong: int
    of: int


@dataclass(frozen=True)
class Strummed:
    """Strummed pages: how many, median lead (s, positive is early) and unsteadiness (s), slots off."""

    takes: int
    lead: float
    steadiness: float
    early: int
    late: int


@dataclass(frozen=True)
class Practised:
    """A week, named by its Monday: days practised, and minutes."""

    monday: date
    days: int
    minutes: float


@dataclass(frozen=True)
class StudentFigures:
    """All of one student. ``signs`` in the order of the course; only those that were read.

    ``weeks``: every week from the first answer's to the last one's, empty ones too.
    """

    answers: int
    days: int
    minutes: float
    first: date | None
    last: date | None
    signs: tuple[SignFigures, ...]
    read_as: tuple[ReadAs, ...]
    pages: tuple[PageFigures, ...]
    strummed: Strummed | None
    diagnosis: Diagnosis
    weeks: tuple[Practised, ...] = ()

    @property
    def weak(self) -> tuple[str, ...]:
        return self.diagnosis.weak


def student_figures(
    entries: Sequence[Entry],
    expected: Mapping[str, Expected] | None = None,
    since: date | None = None,
    error_rate: float = ERROR_RATE,
    level: float = USUAL_LEVEL,
) -> StudentFigures:
    """The figures of a student's answers.

    ``since``: only answers from that day's week on; ``error_rate``: of the diagnosis, over all signs;
    ``level``: the student's accuracy where a memory knows it.
    """
    if since is not None:
        least = week_of(since)
        entries = [one for one in entries if week_of(day_of(one.when, one.offset)) >= least]
    counts = count(entries)
    found = find_weak(counts, error_rate, level)
    days = sorted(counts.questions)
    return StudentFigures(
        counts.answers,
        len(days),
        counts.minutes,
        days[0] if days else None,
        days[-1] if days else None,
        sign_figures(counts, found, expected or {}),
        read_as(counts),
        misread_pages(entries),
        strummed(entries),
        found,
        practised(counts),
    )


def practised(counts: Counts) -> tuple[Practised, ...]:
    """How much was practised in each week."""
    days: Counter[int] = Counter(map(week_of, counts.questions))
    spent: Counter[int] = Counter()
    for day, milliseconds in counts.milliseconds.items():
        spent[week_of(day)] += milliseconds
    weeks = range(min(days), max(days) + 1) if days else ()
    return tuple(Practised(monday_of(week), days[week], spent[week] / 60_000) for week in weeks)


def sign_figures(
    counts: Counts, found: Diagnosis, expected: Mapping[str, Expected]
) -> tuple[SignFigures, ...]:
    """Each sign that was read: in all, first-seen beside met-before, and by week."""
    sums: defaultdict[tuple[str, bool], Sum] = defaultdict(Sum)
    weeks: defaultdict[str, defaultdict[int, Sum]] = defaultdict(lambda: defaultdict(Sum))
    for (week, features, guess, first_seen, sure, right), number in sorted(counts.reads.items()):
        for feature in counted(features):
            sums[feature, first_seen].add(number, guess, sure, right)
            weeks[feature][week].add(number, guess, sure, right)
    needed = missing(found)
    made = []
    for feature in (*FEATURES, *sorted(set(weeks) - set(FEATURES))):
        if feature not in weeks:
            continue
        fresh, met = sums[feature, True], sums[feature, False]
        both = Sum(fresh.count + met.count, fresh.right + met.right, fresh.guessed + met.guessed)
        made.append(
            SignFigures(
                feature,
                both.share(),
                fresh.share() if fresh.count else NOTHING,
                met.share() if met.count else NOTHING,
                tuple(Week(monday_of(week), one.share()) for week, one in sorted(weeks[feature].items())),
                feature in found.weak,
                needed.get(feature),
                expected.get(feature),
            )
        )
    return tuple(made)


def read_as(counts: Counts) -> tuple[ReadAs, ...]:
    """What was written against what it was read as, in the order of the course, most frequent first."""
    cells: Counter[tuple[str, str, str]] = Counter()
    of: Counter[tuple[str, str]] = Counter()
    for (_, features, written, read), number in counts.mixes.items():
        for feature in counted(features):
            cells[feature, written, read] += number
            of[feature, written] += number
    place = {feature: number for number, feature in enumerate(FEATURES)}

    def rank(cell: tuple[tuple[str, str, str], int]) -> tuple[int, str, str, int, str]:
        (feature, written, read), number = cell
        return place.get(feature, len(place)), feature, written, -number, read

    return tuple(
        ReadAs(feature, written, read, number, of[feature, written])
        for (feature, written, read), number in sorted(cells.items(), key=rank)
    )


def misread_pages(entries: Sequence[Entry]) -> tuple[PageFigures, ...]:
    """The pages misread most often, at most MOST_PAGES of those read LEAST_PAGE times or more."""
    of: Counter[tuple[str, str, str | None]] = Counter()
    wrong: Counter[tuple[str, str, str | None]] = Counter()
    layers: dict[tuple[str, str, str | None], tuple[str, ...]] = {}
    for one in entries:
        if one.helped or not one.factors:
            continue
        page = one.pattern, one.meter, one.swing
        of[page] += 1
        layers[page] = one.layers
        if not all(sign.correct for sign in one.factors):
            wrong[page] += 1
    ranked = sorted(
        (page for page in wrong if of[page] >= LEAST_PAGE),
        key=lambda page: (-wrong[page], of[page], page[:2]),
    )
    return tuple(
        PageFigures(*page, layers=layers[page], wrong=wrong[page], of=of[page])
        for page in ranked[:MOST_PAGES]
    )


def strummed(entries: Sequence[Entry]) -> Strummed | None:
    """Timing and steadiness of strummed pages; None where none was."""
    takes = [one.take for one in entries if one.take is not None and not one.helped]
    if not takes:
        return None
    return Strummed(
        len(takes),
        median(one.lead for one in takes),
        median(one.steadiness for one in takes),
        sum(one.early for one in takes),
        sum(one.late for one in takes),
    )
