"""The tasks of a drill, one by one, as its plan has them.

Conventions: ``now`` is in seconds and handed in; randomness comes from the ``random.Random`` that is
handed in. The plan says which features and why; this module finds pattern, kind, layers and tempo, by what
the planner's memory knows when the task comes, and the kind makes its question of them.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from drillapp.learning import Planner
from drillapp.music import Pattern, features_to_ask

from .growth import Size, cut, one_at_a_time, size_for, slowed
from .kinds import KINDS, Kind, allowed_kinds
from .kinds.kind import Base, Put, Turn
from .pick import BASIC, NoQuestion
from .plan import NO_FRESH, NO_PAGE, WAITS, Change, Item, Plan, not_fresh
from .tasks import (
    Source,
    Task,
    Wishes,
    bounded,
    layers_for,
    met_key,
    tempo_for,
)

_TRIES = 8  # patterns looked at before the features are asked for one by one
_RECENT = 8  # patterns that are not taken again so soon
_FRESH_TRIES = 4  # fresh patterns made before the features are asked for one by one

FreshMaker = Callable[[tuple[str, ...], Pattern, random.Random], Pattern | None]


@dataclass(frozen=True)
class _Due:
    """What the next task is to be about."""

    number: int
    of: int
    item: Item
    allowed: tuple[str, ...]
    now: float
    change: Change | None
    within: frozenset[str]
    opening: bool

    @property
    def features(self) -> tuple[str, ...]:
        return self.item.features


@dataclass
class TaskMaker:
    """Makes the tasks of one drill as its plan promises, never the same pattern twice in a row.

    ``met`` holds the texts that the learner has met (see ``met_key``) and grows as tasks are made. ``signs``:
    those open at the start, the plan's and the basic ones where not given; a question shows no other but the
    one that it opens. ``whole``: patterns are asked in all their bars from the start. ``hears``: whether
    there is sound.
    """

    planner: Planner
    plan: Plan
    sources: Sequence[Source]
    met: set[str]
    rng: random.Random
    wishes: Wishes = field(default_factory=Wishes)
    fresh: FreshMaker | None = None
    signs: Collection[str] | None = None
    whole: bool = False
    hears: Callable[[], bool] = lambda: True
    _recent: list[str] = field(default_factory=list)
    _open: frozenset[str] = field(init=False)
    _opened: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._open = frozenset((*BASIC, *self.plan.open) if self.signs is None else self.signs)

    def make(self, number: int, of: int, now: float) -> Task[Any]:
        """Task ``number``, under the line that the plan has it under; else ``change`` says what became of it.

        Raises NoQuestion where no pattern can ask for anything.
        """
        planned = self.plan.item(number)
        begun = self._open_before(number)
        kinds, instead = allowed_kinds(self.wishes.drills, self.hears(), len(begun))
        kind = kinds[self.rng.randrange(len(kinds))]
        for item, change in self._wanted(number, planned, now):
            allowed = tuple(
                f
                for f in self.plan.allowed(number)
                if f in item.features or (f in begun and self._is_open(f, now))
            )
            within = begun.union(item.features)
            opening = not begun.issuperset(item.features)
            due = _Due(number, of, item, allowed, now, change, within, opening)
            if (task := self._ask(kind, due)) is not None:
                return task
            if kind not in instead and (task := self._ask(self.rng.choice(instead), due)) is not None:
                return task
        asked, layers = planned.features, self.wishes.layers
        raise NoQuestion(
            f"no pattern here can ask for {' and '.join(asked)} on {', '.join(layers)}",
            code="nothing-asks",
            places={"asked": asked, "layers": layers},
        )

    def may_put(self, task: Task[Any]) -> bool:
        """Whether a task made before can still be answered: the sound may have gone since."""
        return self.hears() or not KINDS[task.drill].needs_ear

    def _wanted(self, number: int, planned: Item, now: float) -> Iterator[tuple[Item, Change | None]]:
        """The question as planned, then what may stand in its place, nearest first, and what to say."""
        may = tuple(feature for feature in planned.features if self._is_open(feature, now))
        begun = self._open_before(number)
        features = one_at_a_time(may, begun)
        others = [f for f in self.plan.allowed(number) if f not in planned.features and self._is_open(f, now)]
        self.rng.shuffle(others)
        # A fresh page stands under its line whichever signs it asks, any other by its first sign.
        if planned.fresh:
            wanted = [features, *((feature,) for feature in (*features, *others) if feature in begun)]
        else:
            wanted = [features, features[:1]] if features[:1] == planned.features[:1] else []
        yield from ((Item(one, planned.why), None) for one in dict.fromkeys(wanted) if one)
        head = planned.features[0]
        bases = () if self._is_open(head, now) else self.planner.waits_for(head, now)
        code = WAITS if bases else NO_FRESH if planned.fresh else NO_PAGE
        known = [base for base in bases if self._is_open(base, now)]
        for one in dict.fromkeys((*known, *features, *others)):
            if one not in begun:
                continue  # a sign opens where the plan has it, with its lesson
            instead = Item((one,), not_fresh(self.planner.why(one, now)))
            yield instead, Change(code, number, planned, instead, bases[0] if bases else "")

    def _open_before(self, number: int) -> frozenset[str]:
        """The signs that are open when question ``number`` comes, also where it is made once more."""
        return self._open.union(sign for sign, first in self._opened.items() if first < number)

    def _is_open(self, feature: str, now: float) -> bool:
        """Whether a sign may be asked: one is opened in this drill only if what it builds on holds."""
        return feature in self.plan.open or not self.planner.waits_for(feature, now)

    def _ask(self, kind: Kind[Any, Any], due: _Due) -> Task[Any] | None:
        """The best question of this kind about what is due; None where no pattern can ask it."""
        features = tuple(feature for feature in due.features if feature not in kind.cannot_ask)
        if not features or (not due.item.fresh and features[0] != due.features[0]):
            return None
        expected = self.planner.memory.predict(features, due.now)
        size = size_for(expected, due.opening)
        bases = self._bases(due, features, expected, size)
        for put in kind.make(Turn(features, due.within, size, self.rng, bases)):
            if self._may_come(due, put.pattern):
                return self._put(kind, due, features, put)
        return None

    def _may_come(self, due: _Due, pattern: Pattern) -> bool:
        """Whether a pattern was not just put, and was never met where that is promised."""
        key = met_key(pattern)
        return key not in self._recent[-2:] and not (due.item.fresh and key in self.met)

    def _bases(self, due: _Due, features: tuple[str, ...], expected: float, size: Size) -> Iterator[Base]:
        """Patterns to ask on, best first, slower and on more layers while they are read with doubt."""
        for source in self._from(due, features, size):
            layers = layers_for(features, source.layers or self.wishes.layers, expected)
            tempo = tempo_for(source.pattern, 1.0 if size.slow else self.wishes.pace, expected)
            if size.slow:
                tempo = round(slowed(source.pattern, tempo) * self.wishes.pace)
            yield Base(source, source.pattern.at_tempo(bounded(tempo)), layers)

    def _from(self, due: _Due, features: tuple[str, ...], size: Size) -> Iterator[Source]:
        """Where patterns come from: fresh ones where promised, else those that hold the signs."""
        bars = max(len(s.pattern.bars) for s in self.sources) if self.whole else size.bars
        deck = [replace(source, pattern=cut(source.pattern, bars)) for source in self.sources]
        self.rng.shuffle(deck)
        deck.sort(key=lambda source: met_key(source.pattern) in self._recent)
        if due.item.fresh:
            yield from self._fresh_pages(due, features, deck, bars)
            return
        known = [source for source in deck if features_to_ask(source.pattern) <= due.within]
        holding = [source for source in known if set(features) <= features_to_ask(source.pattern)]
        rest = [source for source in known if source not in holding]
        yield from (*holding[:_TRIES], *rest[: _TRIES // 2])

    def _fresh_pages(
        self, due: _Due, features: tuple[str, ...], deck: Sequence[Source], bars: int
    ) -> Iterator[Source]:
        """Patterns never seen without signs that are closed, each like another pattern at hand.

        Not every meter can show every sign, and some show one that is closed.
        """
        if self.fresh is None or not self.wishes.fresh:
            return
        plainest = sorted(deck, key=lambda source: not features_to_ask(source.pattern) <= due.within)
        for like in plainest[:_FRESH_TRIES]:
            made = self.fresh(features, like.pattern, self.rng)
            if made is None:
                continue
            shown = features_to_ask(page := cut(made, bars))
            if set(features) <= shown <= due.within:
                yield Source(page)

    def _put(self, kind: Kind[Any, Any], due: _Due, features: tuple[str, ...], put: Put[Any]) -> Task[Any]:
        """The task that puts a question, which is then remembered."""
        task = Task(
            number=due.number,
            of=due.of,
            drill=kind.name,
            pattern=put.pattern,
            tempo=round(float(put.pattern.tempo)),
            layers=put.layers,
            why=due.item.why,
            change=due.change,
            chord=self.wishes.chord,
            asked=features,
            allowed=due.allowed,
            source=put.base.source,
            first_seen=met_key(put.pattern) not in self.met,
            question=put.question,
        )
        self._note(put.base.source, put.pattern, put.shown)
        for feature in due.item.features:
            self._opened[feature] = min(due.number, self._opened.get(feature, due.number))
        return task

    def _note(self, source: Source, read: Pattern, shown: Sequence[Pattern]) -> None:
        """Remember what was put, so that it is not put again at once nor called never seen again."""
        self.met.update(met_key(pattern) for pattern in shown)
        self._recent = [*self._recent, met_key(source.pattern), met_key(read)][-2 * _RECENT :]
