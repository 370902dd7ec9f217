"""The plan of a drill: what each of its questions is about, and why; made once, before the first of them.

Conventions: ``now`` in seconds, handed in; questions are numbered from 1. The planner says which features and
why, as if all answers to come were right; what the plan promises is then what is asked. Which pattern, drill,
layers, tempo and size a question has is found when it comes (``task_maker``), by what is known by then.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from drillapp.learning import FRESH, REACH, REFRESH, REPAIR, Expected, Planner, expect
from drillapp.music import FEATURES

from .growth import FRESH_FROM, TOGETHER, one_at_a_time

WHYS = (REPAIR, REFRESH, REACH, FRESH)
MOST_ITEMS = 200
FRESH_EVERY = 4  # at least one question in so many is on a pattern never seen
WEAK, SETTLED = (
    0.6,
    6,
)  # expected accuracy of a sign read badly; choices about a sign before the next one opens
NEW_A_SITTING = 3
OWN_EVERY = 3  # of so many questions one is the learner's own where a teacher has set signs
APART = 45.0  # s from one question to the next, about
_GUESS = 0.5  # of the answers that are supposed


@dataclass(frozen=True)
class Page:
    """What a pattern at hand can ask, on the layers that its deck wants, and all that it shows on any."""

    asks: frozenset[str]
    shows: frozenset[str]


@dataclass(frozen=True)
class Item:
    """One question of a plan: the features it asks, the first one first in need, and why that one.

    Where ``why`` is fresh, the pattern is one that the learner has never met.
    """

    features: tuple[str, ...]
    why: str

    @property
    def fresh(self) -> bool:
        return self.why == FRESH

    @property
    def line(self) -> tuple[str, str]:
        """The line that the question stands under: feature and why, or twice fresh for fresh patterns."""
        return (FRESH, FRESH) if self.fresh else (self.features[0], self.why)


@dataclass(frozen=True)
class Plan:
    """The questions of a drill in order, from number ``first``; ``open``: the signs open when it begins.

    Any other sign opens with the first question that asks it.
    """

    items: tuple[Item, ...]
    open: tuple[str, ...]
    first: int = 1

    def item(self, number: int) -> Item:
        """Raises IndexError where there is no question of that number."""
        if not 0 <= number - self.first < len(self.items):
            raise IndexError(f"the plan has questions {self.first} to {self.last}, not {number}")
        return self.items[number - self.first]

    @property
    def last(self) -> int:
        """The number of the last question."""
        return self.first + len(self.items) - 1

    def allowed(self, number: int) -> tuple[str, ...]:
        """The signs that are open once question ``number`` is put, in the order of the course."""
        asked = {feature for item in self.items[: number - self.first + 1] for feature in item.features}
        return tuple(feature for feature in FEATURES if feature in asked or feature in self.open)

    def after(self, answered: int) -> Plan:
        """What is left of the plan after so many questions."""
        gone = max(answered - self.first + 1, 0)
        if not gone:
            return self
        return Plan(self.items[gone:], self.allowed(answered), answered + 1)

    def to_dict(self) -> dict[str, Any]:
        """The plan as JSON can hold it."""
        return {"open": list(self.open), "items": [[item.why, *item.features] for item in self.items]}

    @classmethod
    def from_dict(cls, value: object) -> Plan:
        """The plan of such a dict. Raises ValueError, saying what is wrong, for anything else."""
        if not isinstance(value, Mapping) or set(value) != {"open", "items"}:
            raise ValueError("a plan is an object with open and items")
        items = value["items"]
        if not isinstance(items, list) or not 1 <= len(items) <= MOST_ITEMS:
            raise ValueError(f"items is a list of 1 to {MOST_ITEMS} questions")
        made = tuple(_item(number, one) for number, one in enumerate(items, 1))
        return cls(made, _features("open", value["open"]))


@dataclass(frozen=True)
class Reason:
    """Why a line or a question is in the plan: ``why`` and the numbers that a sentence about it needs.

    ``feature``: whose (fresh where the line is of mixed signs); ``expected``: how it is expected to be read
    today, None where the line is of mixed signs; ``since``: seconds since its last answer, None without one.
    """

    why: str
    feature: str
    expected: Expected | None = None
    since: float | None = None


WAITS, NO_FRESH, NO_PAGE = "waits", "no fresh", "no page"


@dataclass(frozen=True)
class Change:
    """Question ``number`` stands under another line than planned.

    ``code``: waits (the sign was to open, but ``on``, which it builds on, does not hold yet), no fresh (no
    pattern never seen can ask it) or no page (no pattern at hand can).
    """

    code: str
    number: int
    planned: Item
    instead: Item
    on: str = ""


def make_plan(
    planner: Planner,
    pages: Collection[Page],
    count: int,
    now: float,
    fresh: bool = True,
    met: Collection[str] | None = None,
    wanted: Collection[str] = (),
) -> Plan:
    """The next ``count`` questions; changes nothing, and is the same for the same planner and time.

    ``pages``: the patterns at hand; ``fresh``: whether patterns never seen may come; ``met``: the signs that
    are open, those practised where not given; ``wanted``: signs that a teacher has set, about which two
    questions of three are as long as the pages can ask them. A sign that opens is asked alone when it is
    first asked.
    """
    ahead = planner.copy()
    seen = practised(planner, now)
    before = seen if met is None else frozenset(met)
    read = before & seen & _asked_on(pages)
    weak = any(planner.memory.belief(feature, now).mean < WEAK for feature in read)
    begun = opened(ahead, pages, now, before, 0, weak)
    known = set(before)
    items: list[Item] = []
    since_fresh = 0
    for number in range(count):
        then = now + number * APART
        allowed = opened(ahead, pages, then, known, len(known - before), weak) if number else begun
        if number % OWN_EVERY != OWN_EVERY - 1:
            allowed = _set_first(wanted, pages, known, len(known - before)) or allowed
        features = one_at_a_time(ahead.next(then, allowed), known)
        since_fresh += 1
        why = planner.why(features[0], now)
        opening = not known.issuperset(features)
        known.update(features)
        if opening or len(known) < FRESH_FROM:
            why = not_fresh(why)
        elif fresh and (why == FRESH or since_fresh >= FRESH_EVERY):
            why, since_fresh = FRESH, 0
        items.append(Item(features, why if fresh else not_fresh(why)))
        ahead.tell(then, features, [((feature,), True, _GUESS) for feature in features], allowed)
    return Plan(tuple(items), begun)


def open_for(pages: Collection[Page], met: Collection[str]) -> frozenset[str]:
    """The signs that a drill on these pages begins with: those met, and the first two.

    Where every page shows more than these, those of the page that shows fewest more: whoever chooses such
    pages meets each sign of it before the first question.
    """
    begun = frozenset((*met, *TOGETHER))
    if not pages or any(page.asks and page.shows <= begun for page in pages):
        return begun
    return begun | min(pages, key=lambda page: (len(page.shows - begun), sorted(page.shows))).shows


def not_fresh(why: str) -> str:
    """Why a sign is asked on a pattern that may be known: one that is read well is kept so."""
    return REFRESH if why == FRESH else why


def reason_of(planner: Planner, feature: str, why: str, now: float) -> Reason:
    """The reason with its numbers as they are now."""
    if feature == FRESH:
        return Reason(why, feature)
    expected = expect(planner.memory, feature, now)
    since = None if expected.last is None else max(now - expected.last, 0.0)
    return Reason(why, feature, expected, since)


def opened(
    planner: Planner, pages: Collection[Page], now: float, met: Collection[str], new: int, weak: bool
) -> tuple[str, ...]:
    """The features to ask about: those met already, and the next one once they have settled.

    ``pages``: the patterns at hand; ``met``: the signs that are open; ``new``: how many of those were opened
    in this sitting; ``weak``: one that was open before is read badly. One sign opens at a time, when what it
    builds on holds and the one before it has been met often enough; in one sitting at most three, and one
    where a sign is read badly, so that repair is not crowded out. A sign that stands only beside signs that
    are not open has to wait for them.
    """
    pool = _asked_on(pages)
    count = {feature: planner.memory.count(feature) for feature in FEATURES if feature in pool}
    here = [feature for feature in count if feature in met]
    known = [feature for feature in here if _can_ask(feature, pages, met)] or here
    settled = all(count[feature] >= SETTLED for feature in known)
    waiting = [one for one in count if one not in met and not planner.waits_for(one, now)]
    if waiting and (not known or (settled and new < (1 if weak else NEW_A_SITTING))):
        alone = (one for one in waiting if _can_ask(one, pages, {*met, one}))
        if (opening := next(alone, None if known else waiting[0])) is not None:
            known.append(opening)
    return tuple(known) or tuple(count)[:1] or FEATURES[:1]


def _set_first(
    wanted: Collection[str], pages: Collection[Page], known: Collection[str], new: int
) -> tuple[str, ...]:
    """The set signs that can be asked now, known ones and the next one to open, in course order."""
    pool = _asked_on(pages)
    here = [feature for feature in FEATURES if feature in wanted and feature in pool]
    ready = [feature for feature in here if feature in known and _can_ask(feature, pages, known)]
    fresh = (one for one in here if one not in known and _can_ask(one, pages, {*known, one}))
    if new < NEW_A_SITTING and (opening := next(fresh, None)) is not None:
        ready.append(opening)
    return tuple(ready)


def _asked_on(pages: Collection[Page]) -> frozenset[str]:
    return frozenset[str]().union(*(page.asks for page in pages))


def _can_ask(feature: str, pages: Collection[Page], met: Collection[str]) -> bool:
    """Whether a page asks the feature and shows no sign that was not met."""
    within = set(met)
    return any(feature in page.asks and page.shows <= within for page in pages)


def practised(planner: Planner, now: float) -> frozenset[str]:
    """The features that any answer was about."""
    return frozenset(feature for feature in FEATURES if planner.memory.belief(feature, now).count)


def _item(number: int, value: object) -> Item:
    if not isinstance(value, list) or len(value) < 2:
        raise ValueError(f"question {number} is a list of why and one or more features")
    why, *features = value
    if why not in WHYS:
        raise ValueError(f"question {number}: {why!r} is not a reason; choose from {', '.join(WHYS)}")
    return Item(_features(f"question {number}", features), why)


def _features(where: str, value: object) -> tuple[str, ...]:
    if not isinstance(value, list) or not value:
        raise ValueError(f"{where}: a list of features is missing")
    for feature in value:
        if feature not in FEATURES:
            raise ValueError(f"{where}: {feature!r} is not a feature; choose from {', '.join(FEATURES)}")
    if len(set(value)) < len(value):
        raise ValueError(f"{where}: a feature is named twice")
    return tuple(value)
