"""Reading check: about five minutes that find the weak signs, or that there is none.

Guessing is what makes a diagnosis slow, so the check asks by Strum it and Write it down, and each page reads
many signs at once. It asks next about the signs likeliest to be weak, and stops when all are decided.

What the answers say, and which sign to look at next, is told by ``learning.WeaknessTest``: this module finds
the pages and lays out the minutes.

Conventions: seconds; accuracies without guessing.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from drillapp.learning import FRESH, REPAIR, WeaknessTest
from drillapp.music import FEATURES, Pattern, features_to_ask

from .kinds import KINDS
from .kinds.kind import InCheck, Kind
from .pick import BASIC, Evidence, NoQuestion
from .task_maker import FreshMaker
from .tasks import (
    TEMPO_LIMITS,
    Source,
    Task,
    Wishes,
    layers_for,
    met_key,
    tempo_for,
)

CALM = 0.6  # expected accuracy whose tempo is taken: reading, not the hand, is to be what is hard
MOST_A_PAGE = 5.0  # signs of one kind that a page counts for
MINUTES = 5.0
MOST_TASKS = 20  # more than five minutes hold
MOST_READS = 1000  # no limit: the minutes end it
NOT_MET = 1.5  # a page never met says more: it cannot be known by heart
AGAIN = 4.0  # a page put again in one check says a fifth of it at most
AROUND = 10.0  # s: count-in and result
FASTEST_SLOT = 0.15  # s: about as fast as anyone taps one to one (150 to 200 ms: Repp 2005, from memory)
MOST_BARS = 4  # two short pages are joined up to so many, to save a count-in

Checked = tuple[Kind[Any, Any], InCheck]
"""A kind with how it takes its turns in a check."""
CHECKED: tuple[Checked, ...] = tuple(
    sorted(
        ((kind, kind.check) for kind in KINDS.values() if kind.check is not None),
        key=lambda one: -one[1].every,
    )
)
"""The kinds that a check may ask in, the rarest first."""
_UNCHECKED = frozenset.intersection(*(kind.cannot_ask for kind, _ in CHECKED))
_LOOKED_AT = 60  # pages of the sources weighed for each task
_FRESH_PAGES = 6  # pages made for each task to choose from


CheckMark = tuple[int, WeaknessTest]
"""How far a check had come: how many answers, and what they said together."""


@dataclass(frozen=True)
class Finding:
    """What a check has found: signs that are weak, sound, or undecided; ``read``: right and all of each.

    ``error_rate``: the chance, over all signs at once, that one called weak is sound.
    """

    weak: tuple[str, ...]
    sound: tuple[str, ...]
    undecided: tuple[str, ...]
    read: dict[str, tuple[int, int]]
    error_rate: float


@dataclass
class ReadingCheck:
    """One check: what to put next, and what the answers say. Made like a ``TaskMaker``.

    ``features``: the signs to check (those that the sources show, where not given); ``met``: texts that the
    learner has met, which grows; ``level``: the learner's usual accuracy where it is known, else the first
    answers tell it; ``hears``: whether there is sound. Raises NoQuestion where the sources show no sign to
    check, ValueError for an error rate outside (0, 0.5].
    """

    sources: Sequence[Source]
    met: set[str]
    rng: random.Random
    wishes: Wishes = field(default_factory=Wishes)
    fresh: FreshMaker | None = None
    features: Collection[str] | None = None
    error_rate: float = 0.05
    minutes: float = MINUTES
    level: float | None = None
    hears: Callable[[], bool] = lambda: True
    evidence: list[Evidence] = field(default_factory=list)
    signs: tuple[str, ...] = field(init=False)
    _test: WeaknessTest = field(init=False)
    _put: Counter[str] = field(default_factory=Counter)
    _began: float | None = None

    def __post_init__(self) -> None:
        shown = frozenset[str]().union(*(features_to_ask(source.pattern) for source in self.sources))
        asked = shown if self.features is None else shown & set(self.features)
        self.signs = tuple(f for f in FEATURES if f in asked and f not in _UNCHECKED)
        if not self.signs:
            raise NoQuestion(
                "no pattern here shows a sign that can be checked by playing or writing",
                code="nothing-to-check",
            )
        self._test = WeaknessTest(
            self.signs, self.error_rate, MOST_READS, self.level, self.rng.getrandbits(32)
        )

    def make(self, number: int, of: int, now: float) -> Task[Any]:
        """The page that says most, in the time it takes, about the signs still open.

        Raises NoQuestion where no pattern shows any of them.
        """
        if self._began is None:
            self._began = now
        kind, check = self._kind(number)
        layers = layers_for(self._open(kind), self.wishes.layers, 0.0)
        pages = list(self._pages(kind))
        best = max(pages, key=lambda page: self._worth(kind, check, layers, page.pattern), default=None)
        worth = 0.0 if best is None else self._worth(kind, check, layers, best.pattern)
        if best is None or not worth:
            still = self._open(kind)
            raise NoQuestion(
                f"no pattern here shows a sign of {' or '.join(still)}",
                code="nothing-shows",
                places={"features": still},
            )
        first = best.pattern
        for second in (page.pattern for page in pages if _go_together(first, page.pattern)):
            both = self._worth(kind, check, layers, first, second)
            if both > worth:
                tempo = min(first.tempo, second.tempo)
                worth, best = both, Source(replace(first, bars=first.bars + second.bars, tempo=tempo))
        return self._task(number, of, kind, check, best, layers)

    def may_put(self, task: Task[Any]) -> bool:
        """Whether a page made before can still be answered: the sound may have gone since."""
        return self.hears() or not KINDS[task.drill].needs_ear

    def tell(self, evidence: Iterable[Evidence]) -> None:
        """Learn from one answered page; signs that nothing else is told of count, not beats under them."""
        page = [replace(one, features=_at_stake(one.sharp), stake=()) for one in evidence]
        told = [one for one in page if set(one.features) <= set(self.signs)]
        self.evidence.extend(page)
        self._test.record(told, MOST_A_PAGE)

    def mark(self) -> CheckMark:
        """What the answers have said so far, to go back to."""
        return len(self.evidence), deepcopy(self._test)

    def go_back(self, mark: CheckMark) -> None:
        """Forget what was told since."""
        count, test = mark
        del self.evidence[count:]
        self._test = deepcopy(test)

    def done(self, now: float) -> bool:
        """Whether the weak signs are named, or it is sure that there is none, or the time is up."""
        late = self._began is not None and now - self._began >= 60 * self.minutes
        return late or self._test.done

    def finding(self) -> Finding:
        """What the answers so far say."""
        weak = self._test.result.weak
        open_now = () if self._test.result.clear else self._test.open
        right: Counter[str] = Counter()
        count: Counter[str] = Counter()
        for one in self.evidence:
            for feature in one.features:
                count[feature] += 1
                right[feature] += one.correct
        return Finding(
            tuple(feature for feature in self.signs if feature in weak),
            tuple(f for f in self.signs if f not in weak and f not in open_now),
            tuple(f for f in self.signs if f in open_now and f not in weak),
            {feature: (right[feature], count[feature]) for feature in self.signs},
            self.error_rate,
        )

    def _open(self, kind: Kind[Any, Any]) -> tuple[str, ...]:
        """The signs still open that the kind can ask, likeliest first; all of them where none is open."""
        asked = tuple(feature for feature in self._test.open if feature not in kind.cannot_ask)
        return asked or tuple(feature for feature in self.signs if feature not in kind.cannot_ask)

    def _kind(self, number: int) -> Checked:
        """How page ``number`` is asked: rarer kinds when their turn comes, else the usual one."""
        may = [one for one in CHECKED if self.hears() or not one[0].needs_ear]
        among = [one for one in may if one[0].name in self.wishes.drills] or may
        for kind, check in among[:-1]:
            if number % check.every == 0 and self._open(kind):
                return kind, check
        return among[-1]

    def _pages(self, kind: Kind[Any, Any]) -> Iterator[Source]:
        """Pages to choose from: those that hold no sign beyond the ones checked, and some fresh ones."""
        within = {*BASIC, *self.signs, "meter"}
        known = [source for source in self.sources if features_to_ask(source.pattern) <= within]
        yield from self.rng.sample(known, min(_LOOKED_AT, len(known)))
        wanted = sorted(self._open(kind), key=self._test.doubts.__getitem__, reverse=True)[:4]
        if self.fresh is None or not self.wishes.fresh or not known or not wanted:
            return
        for _ in range(_FRESH_PAGES):
            asked = tuple(self.rng.sample(wanted, self.rng.randint(1, min(3, len(wanted)))))
            made = self.fresh(asked, self.rng.choice(known).pattern, self.rng)
            if made is not None and features_to_ask(made) <= within:
                yield Source(made)

    def _worth(self, kind: Kind[Any, Any], check: InCheck, layers: tuple[str, ...], *pages: Pattern) -> float:
        """How much pages put as one say about the signs still open, for each second that they take."""
        told: Counter[str] = Counter()
        new = NOT_MET
        for page in pages:
            told.update(_signs_told(page, layers, check))
            key = met_key(page)
            new = min(new, (1.0 if key in self.met else NOT_MET) / (1 + AGAIN * self._put[key]))
        doubts = self._test.doubts
        worth = sum(doubts[feature] * min(told[feature], MOST_A_PAGE) for feature in self._open(kind))
        return worth * new / (AROUND + sum(_seconds(page, self.wishes.pace, kind) for page in pages))

    def _task(
        self,
        number: int,
        of: int,
        kind: Kind[Any, Any],
        check: InCheck,
        page: Source,
        layers: tuple[str, ...],
    ) -> Task[Any]:
        pattern = page.pattern.at_tempo(_calm_tempo(page.pattern, self.wishes.pace))
        key = met_key(pattern)
        first_seen = key not in self.met
        self.met.add(key)
        for part in key.split(" | "):  # a page and each of its bars
            self._put[part] += 1
        self._put[key] += len(pattern.bars) > 1
        shown = _signs_told(pattern, layers, check)
        doubts = self._test.doubts
        asked = sorted((f for f in self._open(kind) if f in shown), key=doubts.__getitem__, reverse=True)
        return Task(
            number=number,
            of=of,
            drill=kind.name,
            pattern=pattern,
            tempo=round(float(pattern.tempo)),
            layers=layers,
            why=FRESH if first_seen else REPAIR,
            chord=self.wishes.chord,
            asked=tuple(asked),
            allowed=self.signs,
            source=page,
            first_seen=first_seen,
            question=None,
        )


def _at_stake(features: Sequence[str]) -> tuple[str, ...]:
    """The features that evidence counts for: beats, offbeats and skips only where no other sign stands."""
    specific = tuple(feature for feature in features if feature not in BASIC)
    return specific or tuple(features)


@lru_cache(maxsize=512)
def _signs_told(pattern: Pattern, layers: tuple[str, ...], check: InCheck) -> dict[str, int]:
    """How many signs of each feature a page tells of, when it is played or written as it should be."""
    signs = check.signs(pattern, layers)
    return dict(Counter(feature for one in signs for feature in _at_stake(one.evidence.sharp)))


def _calm_tempo(pattern: Pattern, pace: float) -> int:
    """A tempo at which reading, not the hand, is what is hard."""
    beats = [pair for bar in pattern.bars for pair in zip(pattern.meter.beats, bar, strict=True)]
    shortest = min(beat / len(slots) for beat, slots in beats)
    fastest = int(60.0 * float(shortest / pattern.meter.unit) / FASTEST_SLOT)
    return max(min(tempo_for(pattern, pace, CALM), fastest), TEMPO_LIMITS[0])


def _go_together(one: Pattern, two: Pattern) -> bool:
    """Whether two pages can be put as one, on one count-in."""
    alike = one.meter == two.meter and one.swing == two.swing and one.bars != two.bars
    return alike and len(one.bars) + len(two.bars) <= MOST_BARS


@lru_cache(maxsize=512)
def _seconds(pattern: Pattern, pace: float, kind: Kind[Any, Any]) -> float:
    """About how long a page takes, but for what is around every task."""
    return kind.seconds(pattern, _calm_tempo(pattern, pace))
