"""The placing check: a few pages that find which signs a new learner reads already.

The signs stand in the order in which they build on one another. A sign that holds carries those it builds on;
one that does not closes those that build on it. So the next one looked at is that which, either way, settles
most of the others, and a few signs are enough. A sign holds after right answers that a guess gives with a
chance of 1 in 8 at most; at a miss it is left for its lesson, which can be passed over there.

Where there is sound a page is picked by ear, in four ways; else it is played. Nothing is asked twice.

Conventions: ``now`` in seconds, handed in; tempo in beats a minute.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from drillapp.learning import REACH
from drillapp.music import FEATURES, features_to_ask
from drillapp.music.course import BUILDS_ON, builds_on
from drillapp.music.ways import in_table_order

from .growth import SIZES, TOGETHER, cut
from .kinds import KINDS
from .kinds.kind import Base, Kind, Put, Turn
from .pick import Evidence, NoQuestion
from .tasks import Source, Task, Wishes, layers_for, met_key, tempo_for

LUCK = 1 / 8
"""chance that a sign is taken for read by guessing, at most"""
MINUTES = 3.0
MOST_PAGES = 18
BY_EAR = next(kind for kind in KINDS.values() if kind.usual and not kind.from_page)
BY_HAND = next(kind for kind in KINDS.values() if not kind.needs_ear)
_LOOKED_AT = 40  # patterns that a page is looked for in
_CALM = 0.6  # expected accuracy whose tempo is taken: reading, not the hand, is to be what is hard


@dataclass
class Placing:
    """One placing check; made like a ``TaskMaker``.

    ``met``: texts that the learner has met, which grows; ``hears``: whether there is sound.
    """

    sources: Sequence[Source]
    met: set[str]
    rng: random.Random
    wishes: Wishes = field(default_factory=Wishes)
    hears: Callable[[], bool] = lambda: True
    _luck: dict[str, float] = field(default_factory=dict)
    _holds: set[str] = field(default_factory=set)
    _fails: set[str] = field(default_factory=set)
    _passed: set[str] = field(default_factory=set)
    _asked: str = ""
    _pages: int = 0
    _began: float | None = None

    def make(self, number: int, of: int, now: float) -> Task[Any]:
        """The next page. Raises NoQuestion where no pattern can ask for any sign that is left."""
        self._began = now if self._began is None else self._began
        kind = BY_EAR if self.hears() else BY_HAND
        while (sign := self._next()) is not None:
            put = next(self._put(kind, sign), None) if sign not in kind.cannot_ask else None
            if put is not None:
                return self._task(number, of, kind, sign, put)
            self._passed.add(sign)
        raise NoQuestion("no pattern here can ask for a sign", code="nothing-to-place")

    def tell(self, evidence: Iterable[Evidence]) -> None:
        """Learn from the answer to the page that was made last; none is no answer at all."""
        sign, told = self._asked, [one for one in evidence if self._asked in one.sharp]
        self._pages += 1
        if not told or not all(one.correct for one in told):
            self._fails |= {one for one in FEATURES if sign in builds_on((one,))}
            return
        for one in told:
            self._luck[sign] = self._luck.get(sign, 1.0) * max(one.guess, LUCK)
        if self._luck[sign] <= LUCK:
            self._holds |= builds_on((sign,)) | set(TOGETHER)

    def done(self, now: float) -> bool:
        """Whether every sign is settled, or the time is up."""
        late = self._began is not None and now - self._began >= 60 * MINUTES
        return late or self._pages >= MOST_PAGES or self._next() is None

    def may_put(self, task: Task[Any]) -> bool:
        """Whether a page made before can still be answered: the sound may have gone since."""
        return self.hears() or not KINDS[task.drill].needs_ear

    def holds(self) -> tuple[str, ...]:
        """The signs that are read, in the order of the course; a sign that failed is never among them."""
        return in_table_order(self._holds - self._fails)

    def _next(self) -> str | None:
        """The sign in hand until it is settled, then the one that settles most whatever comes of it."""
        left = [one for one in FEATURES if one not in self._holds | self._fails | self._passed]
        if self._asked in left:
            return self._asked
        worth = {one: min(self._below(one, left), self._above(one, left)) for one in left}
        first = sorted(left, key=lambda one: (-worth[one], -self._below(one, left)))
        return first[0] if first else None

    @staticmethod
    def _below(sign: str, left: Collection[str]) -> int:
        return len(builds_on((sign,)) & set(left))

    @staticmethod
    def _above(sign: str, left: Collection[str]) -> int:
        return sum(sign in builds_on((one,)) for one in left)

    def _put(self, kind: Kind[Any, Any], sign: str) -> Iterator[Put[Any]]:
        """Pages about the sign, in one bar, that show beside it only what it builds on and what is read."""
        within = frozenset(builds_on((sign,)) | self._holds | {*TOGETHER, *BUILDS_ON["tie"]})
        within = frozenset(within - self._fails) | {sign}
        layers = layers_for((sign,), self.wishes.layers, 0.0)
        for size in (SIZES[-1], SIZES[0]):
            turn = Turn((sign,), within, size, self.rng, self._bases(sign, within, layers))
            for put in kind.make(turn):
                if met_key(put.pattern) not in self.met:
                    yield put

    def _bases(self, sign: str, within: Collection[str], layers: tuple[str, ...]) -> Iterator[Base]:
        pages = [Source(cut(one.pattern, 1), one.title, one.deck) for one in self.sources]
        fit = [
            one for one in pages if sign in (shown := features_to_ask(one.pattern)) and shown <= set(within)
        ]
        self.rng.shuffle(fit)
        for source in fit[:_LOOKED_AT]:
            yield Base(source, source.pattern.at_tempo(tempo_for(source.pattern, 1.0, _CALM)), layers)

    def _task(self, number: int, of: int, kind: Kind[Any, Any], sign: str, put: Put[Any]) -> Task[Any]:
        self._asked = sign
        self.met.update(met_key(one) for one in put.shown)
        return Task(
            number=number,
            of=of,
            drill=kind.name,
            pattern=put.pattern,
            tempo=round(float(put.pattern.tempo)),
            layers=put.layers,
            why=REACH,
            chord=self.wishes.chord,
            asked=(sign,),
            allowed=(sign,),
            source=put.base.source,
            first_seen=True,
            question=put.question,
        )
