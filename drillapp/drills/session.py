"""A session: which task comes next, and what an answer to it says.

Conventions: ``now`` is in seconds and handed in; randomness comes from the ``random.Random`` that is
handed in. The planner says which features and why; this module finds pattern, drill, layers, size and
tempo.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from drillapp.learning import FRESH, REACH, REFRESH, REPAIR, Planner
from drillapp.music import FEATURE_TABLE, FEATURES, LAYERS, Pattern
from drillapp.music.features import sign_set

from .pick import BASIC, NoQuestion, PickQuestion, pick_question

PAGE_TO_SOUND, SOUND_TO_PAGE = "page_to_sound", "sound_to_page"
DRILLS = (PAGE_TO_SOUND, SOUND_TO_PAGE)
TEMPO_LIMITS = (40, 200)

_TRIES = 8  # patterns looked at before the features are asked for one by one
_RECENT = 8  # patterns that are not taken again so soon
_FRESH_EVERY = 4  # at least one question in so many is on a pattern never seen
_SHORT, _LONG = 0.6, 0.85  # expected accuracy below which two candidates, above which four
_FADE = 0.9  # expected accuracy from which letters no longer stand beside the staff
_SETTLED = 6  # choices about a sign before the next one opens
_NEW_A_SITTING = 3
_DAY = 86_400.0

FreshMaker = Callable[[tuple[str, ...], Pattern, random.Random], Pattern | None]


@dataclass(frozen=True)
class Source:
    """A pattern that questions may be made from, and where it comes from."""

    pattern: Pattern
    title: str = ""
    deck: str = ""


@dataclass(frozen=True)
class Wishes:
    """What the learner or the teacher has set: shown layers, pace against the pattern's tempo, chord."""

    layers: tuple[str, ...] = ("letters", "counts", "staff")
    pace: float = 1.0
    chord: str = "G"
    fresh: bool = True


@dataclass(frozen=True)
class Task:
    """One question as it is put: number ``number`` (from 1) of ``of``."""

    number: int
    of: int
    drill: str
    question: PickQuestion
    tempo: int
    layers: tuple[str, ...]
    why: str
    phrase: str
    chord: str
    asked: tuple[str, ...]
    allowed: tuple[str, ...]
    source: Source
    first_seen: bool


@dataclass
class TaskMaker:
    """Makes the tasks of one session, never the same pattern twice in a row.

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
        self._pool = frozenset[str]().union(*(features_of(source.pattern) for source in self.sources))
        self._before = practised(self.planner, 0.0)

    def make(self, number: int, of: int, now: float, ahead: bool = False) -> Task:
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
        for features in self._wanted(asked, allowed):
            why = self.planner.why(features[0], now)
            found = self._find(features, allowed, now, why)
            if found is not None:
                question, source, is_fresh = found
                if is_fresh:
                    why = FRESH
                self._since_fresh = 0 if is_fresh else self._since_fresh + 1
                return self._task(number, of, question, source, why, tuple(allowed), now)
        raise NoQuestion(
            f"no pattern here can ask for {' and '.join(asked)} on {', '.join(self.wishes.layers)}"
        )

    def _wanted(self, asked: tuple[str, ...], allowed: Collection[str]) -> Iterator[tuple[str, ...]]:
        """The features asked for, then one by one, then whatever else is open."""
        yield asked
        if len(asked) > 1:
            yield from ((feature,) for feature in asked)
        others = [feature for feature in allowed if feature not in asked]
        self.rng.shuffle(others)
        yield from ((feature,) for feature in others)

    def _find(
        self, features: tuple[str, ...], allowed: Collection[str], now: float, why: str
    ) -> tuple[PickQuestion, Source, bool] | None:
        expected = self.planner.memory.predict(features, now)
        layers = layers_for(features, self.wishes.layers, expected)
        within = {*BASIC, *allowed, *features}
        want = _size(expected, self.rng)
        due = why == FRESH or self._since_fresh + 1 >= _FRESH_EVERY
        for source, is_fresh in self._bases(features, layers, within, due):
            base = source.pattern.at_tempo(tempo_for(source.pattern, self.wishes.pace, expected))
            for size in dict.fromkeys((want, 2)):
                try:
                    question = pick_question(base, features, layers, self.rng, size, within)
                except NoQuestion:
                    continue
                if met_key(question.written) not in self._recent[-2:]:
                    return question, source, is_fresh
        return None

    def _bases(
        self, features: tuple[str, ...], layers: tuple[str, ...], within: set[str], due: bool
    ) -> Iterator[tuple[Source, bool]]:
        """Patterns to ask on, best first: a fresh one when one is due, then those that hold the signs."""
        deck = list(self.sources)
        self.rng.shuffle(deck)
        deck.sort(key=lambda source: met_key(source.pattern) in self._recent)
        if due and self.wishes.fresh and self.fresh is not None:
            like = deck[0].pattern if deck else None
            made = self.fresh(features, like, self.rng) if like is not None else None
            if made is not None:
                yield Source(made), True
        known = [source for source in deck if features_of(source.pattern) <= within]
        holding = [source for source in known if set(features) <= features_of(source.pattern)]
        rest = [source for source in known if source not in holding]
        yield from ((source, False) for source in [*holding[:_TRIES], *rest[: _TRIES // 2]])
        if not known:
            simplest = sorted(deck, key=lambda source: len(features_of(source.pattern)))
            yield from ((source, False) for source in simplest[:_TRIES])

    def _task(
        self,
        number: int,
        of: int,
        question: PickQuestion,
        source: Source,
        why: str,
        allowed: tuple[str, ...],
        now: float,
    ) -> Task:
        feature = question.asked[0]
        base = met_key(source.pattern)
        first_seen = met_key(question.written) not in self.met
        self.met.update(met_key(candidate) for candidate in question.candidates)
        self._recent = [*self._recent, base, met_key(question.written)][-2 * _RECENT :]
        return Task(
            number,
            of,
            DRILLS[self.rng.randrange(len(DRILLS))],
            question,
            round(float(question.base.tempo)),
            question.layers,
            why,
            phrase(self.planner, feature, why, now),
            self.wishes.chord,
            question.asked,
            allowed,
            source,
            first_seen,
        )


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
    weak = any(belief[feature].mean < _SHORT for feature in known)
    new = len([feature for feature in known if feature not in (known if before is None else before)])
    waiting = [feature for feature in planner.open(now) if feature in pool and not belief[feature].count]
    if waiting and (not known or (settled and new < (1 if weak else _NEW_A_SITTING))):
        known.append(waiting[0])
    return tuple(known) or tuple(feature for feature in FEATURES if feature in pool)[:1] or FEATURES[:1]


def practised(planner: Planner, now: float) -> frozenset[str]:
    """The features that any answer was about."""
    return frozenset(feature for feature in FEATURES if planner.memory.belief(feature, now).count)


@lru_cache(maxsize=4096)
def features_of(pattern: Pattern) -> frozenset[str]:
    """Features that some layer shows a sign of; 4/4 is where everyone starts and not counted as a sign."""
    found = {sign.feature for sign in sign_set(pattern, LAYERS)}
    return frozenset(found - {"meter"} if pattern.meter.text == "4/4" else found)


def met_key(pattern: Pattern) -> str:
    """What says that two patterns are the same one to a learner: their text, whatever the tempo."""
    return pattern.text


def layers_for(features: Sequence[str], shown: Sequence[str], expected: float) -> tuple[str, ...]:
    """The layers to show so that each feature can be read in one of them.

    Letters fade from beside the staff when the features are read well and the staff shows them.

    >>> layers_for(("tie",), ("letters", "counts"), 0.5)
    ('letters', 'counts', 'staff')
    """
    layers = set(shown)
    for feature in features:
        can_show = FEATURE_TABLE[feature].layers
        if not layers & set(can_show):
            layers.add("staff" if "staff" in can_show else can_show[0])
    if expected >= _FADE and all("staff" in FEATURE_TABLE[feature].layers for feature in features):
        faded = layers - {"letters", "arrows"}
        layers = faded if "staff" in faded else layers
    return tuple(layer for layer in LAYERS if layer in layers)


def tempo_for(pattern: Pattern, pace: float, expected: float) -> int:
    """Beats a minute: the pattern's own, slower while its signs are still read with doubt."""
    ease = 0.8 + 0.2 * min(max((expected - 0.4) / 0.5, 0.0), 1.0)
    low, high = TEMPO_LIMITS
    return round(min(max(float(pattern.tempo) * pace * ease, low), high))


def phrase(planner: Planner, feature: str, why: str, now: float) -> str:
    """Why a question is in the plan, in a few words for the learner."""
    belief = planner.memory.belief(feature, now)
    if why == REPAIR:
        return f"reads about {round(10 * belief.mean)} in 10"
    if why == REFRESH and belief.last is not None:
        return f"{_span(now - belief.last)} since the last"
    if why == REACH:
        return "opens today" if belief.count == 0 else "opened lately"
    return "never seen before"


def _span(seconds: float) -> str:
    days = seconds / _DAY
    if days < 1:
        return "some hours"
    if days < 2:
        return "a day"
    if days < 13:
        return "a week" if 6.5 <= days < 7.5 else f"{round(days)} days"
    return f"{round(days / 7)} weeks"


def _size(expected: float, rng: random.Random) -> int:
    """Candidates: few while signs are misread (quick, and little to confuse), four when they hold."""
    if expected < _SHORT:
        return 2
    return 4 if expected >= _LONG else rng.choice((2, 3, 4))
