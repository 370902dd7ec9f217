"""A sitting: which task comes next.

Conventions: ``now`` is in seconds and handed in; randomness comes from the ``random.Random`` that is
handed in. The planner says which features and why; this module finds pattern, kind, layers and tempo, and
the kind makes its question of them.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from drillapp.learning import FRESH, Planner
from drillapp.music import FEATURES, Pattern, features_to_ask

from .kinds import USUAL, Kind, chosen
from .kinds.kind import Base, Put, Turn
from .pick import BASIC, NoQuestion
from .tasks import (
    Source,
    Task,
    Wishes,
    layers_for,
    met_key,
    phrase,
    readable,
    tempo_for,
)

_TRIES = 8  # patterns looked at before the features are asked for one by one
_RECENT = 8  # patterns that are not taken again so soon
_FRESH_EVERY = 4  # at least one question in so many is on a pattern never seen
_SHAKY = 0.6  # expected accuracy below which a sign is read badly
_SETTLED = 6  # choices about a sign before the next one opens
_NEW_A_SITTING = 3

FreshMaker = Callable[[tuple[str, ...], Pattern, random.Random], Pattern | None]


@dataclass(frozen=True)
class _Due:
    """What the next task is to be about."""

    number: int
    of: int
    features: tuple[str, ...]
    allowed: tuple[str, ...]
    now: float
    why: str

    @property
    def within(self) -> set[str]:
        """The features that a page may show or a question touch."""
        return {*BASIC, *self.allowed, *self.features}


@dataclass
class TaskMaker:
    """Makes the tasks of one sitting, never the same pattern twice in a row.

    ``met`` holds the texts that the learner has met (see ``met_key``) and grows as tasks are made;
    ``allowed`` restricts the features, as when one deck is practised.
    """

    planner: Planner
    sources: Sequence[Source]
    met: set[str]
    rng: random.Random
    wishes: Wishes = field(default_factory=Wishes)
    fresh: FreshMaker | None = None
    allowed: Collection[str] | None = None
    _pool: frozenset[str] = field(init=False)
    _before: frozenset[str] = field(init=False)
    _recent: list[str] = field(default_factory=list)
    _since_fresh: int = 0

    def __post_init__(self) -> None:
        self._pool = frozenset[str]().union(*(_asks(source) for source in self.sources))
        self._before = practised(self.planner, 0.0)

    def make(self, number: int, of: int, now: float, ahead: bool = False) -> Task[Any]:
        """The next task; with ``ahead`` the one after it, as if the next one were answered as expected.

        Raises NoQuestion where no pattern can ask for anything.
        """
        allowed = (
            self.allowed if self.allowed is not None else opened(self.planner, self._pool, now, self._before)
        )
        if ahead:
            asked = self.planner.plan(now, 2, allowed)[1][0]
        else:
            asked = self.planner.next(now, allowed)
        kinds = chosen(self.wishes.drills)
        kind = kinds[self.rng.randrange(len(kinds))]
        for features in self._wanted(asked, allowed):
            due = _Due(number, of, features, tuple(allowed), now, self.planner.why(features[0], now))
            if (task := self._ask(kind, due)) is not None:
                return task
            if not kind.usual and (task := self._ask(self.rng.choice(USUAL), due)) is not None:
                return task
        raise NoQuestion(
            f"no pattern here can ask for {' and '.join(asked)} on {', '.join(self.wishes.layers)}",
            code="nothing-asks",
            places={"asked": asked, "layers": self.wishes.layers},
        )

    def _wanted(self, asked: tuple[str, ...], allowed: Collection[str]) -> Iterator[tuple[str, ...]]:
        """The features asked for, then one by one, then whatever else is open."""
        yield asked
        if len(asked) > 1:
            yield from ((feature,) for feature in asked)
        others = [feature for feature in allowed if feature not in asked]
        self.rng.shuffle(others)
        yield from ((feature,) for feature in others)

    def _ask(self, kind: Kind[Any, Any], due: _Due) -> Task[Any] | None:
        """The best question of this kind about what is due; None where no pattern can ask it."""
        features = tuple(feature for feature in due.features if feature not in kind.cannot_ask)
        if not features:
            return None
        expected = self.planner.memory.predict(features, due.now)
        bases = self._bases(due, features, expected)
        for put in kind.make(Turn(features, due.within, expected, self.rng, bases)):
            if met_key(put.pattern) not in self._recent[-2:]:
                return self._put(kind, due, features, put)
        return None

    def _bases(self, due: _Due, features: tuple[str, ...], expected: float) -> Iterator[Base]:
        """Patterns to ask on, best first, slower and on more layers while they are read with doubt."""
        for source, is_fresh in self._from(due, features):
            layers = layers_for(features, source.layers or self.wishes.layers, expected)
            pattern = source.pattern.at_tempo(tempo_for(source.pattern, self.wishes.pace, expected))
            yield Base(source, pattern, layers, is_fresh)

    def _from(self, due: _Due, features: tuple[str, ...]) -> Iterator[tuple[Source, bool]]:
        """Where patterns come from: a fresh one when one is due, then those that hold the signs."""
        deck = list(self.sources)
        self.rng.shuffle(deck)
        deck.sort(key=lambda source: met_key(source.pattern) in self._recent)
        fresh_due = due.why == FRESH or self._since_fresh + 1 >= _FRESH_EVERY
        if fresh_due and self.wishes.fresh and self.fresh is not None and deck:
            made = self.fresh(features, deck[0].pattern, self.rng)
            if made is not None:
                yield Source(made), True
        known = [source for source in deck if features_to_ask(source.pattern) <= due.within]
        holding = [source for source in known if set(features) <= features_to_ask(source.pattern)]
        rest = [source for source in known if source not in holding]
        yield from ((source, False) for source in [*holding[:_TRIES], *rest[: _TRIES // 2]])
        if not known:
            simplest = sorted(deck, key=lambda source: len(features_to_ask(source.pattern)))
            yield from ((source, False) for source in simplest[:_TRIES])

    def _put(self, kind: Kind[Any, Any], due: _Due, features: tuple[str, ...], put: Put[Any]) -> Task[Any]:
        """The task that puts a question, which is then remembered."""
        why = FRESH if put.base.fresh else due.why
        task = Task(
            number=due.number,
            of=due.of,
            drill=kind.name,
            pattern=put.pattern,
            tempo=round(float(put.pattern.tempo)),
            layers=put.layers,
            why=why,
            phrase=phrase(self.planner, due.features[0], why, due.now),
            chord=self.wishes.chord,
            asked=features,
            allowed=due.allowed,
            source=put.base.source,
            first_seen=met_key(put.pattern) not in self.met,
            question=put.question,
        )
        self._note(put.base.source, put.pattern, put.shown)
        return task

    def _note(self, source: Source, read: Pattern, shown: Sequence[Pattern]) -> None:
        """Remember what was put, so that it is not put again at once nor called never seen again."""
        self._since_fresh = self._since_fresh + 1 if source.deck or source.title else 0
        self.met.update(met_key(pattern) for pattern in shown)
        self._recent = [*self._recent, met_key(source.pattern), met_key(read)][-2 * _RECENT :]


def opened(
    planner: Planner, pool: Collection[str], now: float, before: Collection[str] | None = None
) -> tuple[str, ...]:
    """The features to ask about: those practised already, and the next one once they have settled.

    ``pool``: the features that the decks at hand show; ``before``: those practised before this sitting. One
    sign opens at a time, when what it builds on holds and the one before it has been met often enough; in
    one sitting at most three, and one where a sign is read badly, so that repair is not crowded out.
    """
    belief = {feature: planner.memory.belief(feature, now) for feature in FEATURES}
    known = [feature for feature in FEATURES if feature in pool and belief[feature].count]
    settled = all(belief[feature].count >= _SETTLED for feature in known)
    weak = any(belief[feature].mean < _SHAKY for feature in known)
    new = len([feature for feature in known if feature not in (known if before is None else before)])
    waiting = [feature for feature in planner.open(now) if feature in pool and not belief[feature].count]
    if waiting and (not known or (settled and new < (1 if weak else _NEW_A_SITTING))):
        known.append(waiting[0])
    return tuple(known) or tuple(feature for feature in FEATURES if feature in pool)[:1] or FEATURES[:1]


def _asks(source: Source) -> frozenset[str]:
    """The features that a pattern shows on the layers that its deck asks for, or on any."""
    found = features_to_ask(source.pattern)
    return found & readable(source.pattern, source.layers) if source.layers else found


def practised(planner: Planner, now: float) -> frozenset[str]:
    """The features that any answer was about."""
    return frozenset(feature for feature in FEATURES if planner.memory.belief(feature, now).count)
