"""Which features to ask about next, and why.

Conventions: time in seconds, handed in; randomness from the seed alone. `next` changes nothing: asked twice
it answers twice the same, and a planner that is handed the same answers again plans the same again.

A plan is a mix: each open feature's share of a session, made when a session begins. One half of it looks
ahead: for each feature the memory tells what each of a range of doses, given on each of the next 24 days,
leads to two weeks later, and doses go where the next one gains most (`drillapp.learning.doses`). The other
half is a rule that leans less on the memory's model of what practice adds: a feature's need is the expected
value, over the kinds of feature that it may be, of (1 - accuracy a week ahead without practice) ^ 1.5, and a
little for all. So what may be weak or fleeting is asked about before that is known, and what is held is kept.
In simulations the two together do better than either (the memory's model is never quite the learner's).

Within the session a feature's claim grows by its share with every sign asked, and falls by one when it is
asked (stride scheduling: Waldspurger and Weihl 1995), so that kinds are interleaved by themselves.
"""

from __future__ import annotations

import random
from collections.abc import Collection, Iterable, Mapping, Sequence
from copy import copy

from drillapp.learning.doses import curves, dealt
from drillapp.learning.memory import Memory
from drillapp.learning.times import DAY, HOUR
from drillapp.learning.traces import expected

REPAIR, REFRESH, REACH, FRESH = "repair", "refresh", "reach", "fresh"
WEAK_BELOW = 0.8
FADED_BY = 0.04
HELD_FROM = 0.7
NEW_UP_TO = 3
AHEAD = 7 * DAY
POWER, FLOOR = 1.5, 0.02
BY_DOSES = 0.5
UNUSUAL_GUESS = 0.001  # odds of it against the prior's guess rate, before the first answer
SESSION_GAP = 4 * HOUR


class Planner:
    """Plans for one learner.

    features: all that may be asked, in the order in which they open; more may come with `record`. seed:
    breaks ties. memory: beliefs so far (a new Memory where not given; the planner feeds it through
    `record`). builds_on: feature -> features that must hold before it opens; names outside `features` are
    left out of account. size: signs in one question at most. signs: how many are asked on a usual day. costs:
    how long a question about a feature takes, as a multiple of the usual (1 where not named): gain is weighed
    by time.

    >>> planner = Planner(("beat", "tie"), builds_on={"tie": ("beat",)})
    >>> planner.next(now=0.0)
    ('beat',)
    """

    def __init__(
        self,
        features: Iterable[str],
        seed: int = 0,
        memory: Memory | None = None,
        builds_on: Mapping[str, Collection[str]] | None = None,
        size: int = 2,
        signs: float = 40.0,
        costs: Mapping[str, float] | None = None,
    ) -> None:
        self.features = tuple(dict.fromkeys(features))
        if size < 1:
            raise ValueError(f"size must be at least 1, not {size}")
        if not signs > 0 or any(not cost > 0 for cost in (costs or {}).values()):
            raise ValueError(f"signs and costs must be above 0, not {signs} and {dict(costs or {})}")
        self.memory = memory if memory is not None else Memory(self.features)
        self.size = size
        self._signs, self._costs = signs, dict(costs or {})
        known = set(self.features)
        self._builds_on = {
            feature: tuple(base for base in bases if base in known and base != feature)
            for feature, bases in (builds_on or {}).items()
        }
        order = list(range(len(self.features)))
        random.Random(seed).shuffle(order)
        self._ties = dict(zip(self.features, order, strict=True))
        self._claims = dict.fromkeys(self.features, 0.0)
        self._recent: list[frozenset[str]] = []
        self._mix: dict[str, float] = {}
        self._practised: set[str] = set()
        usual = self.memory.prior.guess
        self._guesses = {0.0: UNUSUAL_GUESS, usual / 2: UNUSUAL_GUESS, usual: 1.0}
        self._last: float | None = None

    def copy(self) -> Planner:
        """An independent twin, for looking ahead or going back."""
        twin = copy(self)
        twin.memory = self.memory.copy()
        twin._ties, twin._claims, twin._mix = dict(self._ties), dict(self._claims), dict(self._mix)
        twin._recent, twin._practised = list(self._recent), set(self._practised)
        twin._guesses = dict(self._guesses)
        return twin

    def go_back(self, to: Planner) -> None:
        """Forget what was learned since ``to`` was copied from it."""
        vars(self).update(vars(to.copy()))

    def next(
        self, now: float, allowed: Collection[str] | None = None, size: int | None = None
    ) -> tuple[str, ...]:
        """The features that the next question is to be about, the first one first in need; never empty.

        allowed: ask only about these (a deck, an assignment), whether open or not; where none is known it
        is as if not given. Raises ValueError where the planner has no features at all.
        """
        return self._choose(now, self._claims, self._recent, self._shares(now, allowed), size or self.size)

    def record(
        self,
        now: float,
        features: Sequence[str],
        bits: Sequence[bool],
        guess: float | None = None,
    ) -> None:
        """Learn from an answered question: one bit (right or wrong) for each feature named.

        guess: as in Memory.observe; where not given it is the prior's, its half or none, whichever the
        answers bear out best. Raises ValueError where features and bits differ in number.
        """
        if len(features) != len(bits):
            raise ValueError(f"one bit for each feature: got {len(features)} features and {len(bits)} bits")
        for feature in features:
            if feature not in self._ties:
                self._add(feature)
        mix = self._shares(now, None)
        if guess is None:
            guess = self._borne_out(now, features, bits)
        for feature, bit in zip(features, bits, strict=True):
            self.memory.observe((feature,), bool(bit), now, guess)
        self._recent = _asked(self._claims, self._recent, mix, features)
        self._mix, self._last = mix, now if self._last is None else max(now, self._last)

    def tell(
        self,
        now: float,
        asked: Sequence[str],
        evidence: Iterable[tuple[tuple[str, ...], bool, float]],
        allowed: Collection[str] | None = None,
        conditions: Collection[str] = (),
    ) -> None:
        """Learn from an answered question whose evidence names several signs at once.

        asked: the features it was about, which settles their claims; evidence: (features, right or wrong,
        guess rate) of each choice, as in Memory.observe; allowed: what could have been asked, as in next
        (only these have a claim to the turn that was taken); conditions: under which it was asked, as in
        Memory.observe. The drills' way in; `record` is for single signs.
        """
        told = tuple(evidence)
        for features, _, _ in told:
            for feature in features:
                if feature not in self._ties:
                    self._add(feature)
        mix = self._shares(now, allowed)
        for features, correct, guess in told:
            self.memory.observe(features, correct, now, guess, conditions)
        self._recent = _asked(self._claims, self._recent, mix, asked)
        self._mix, self._last = mix, now if self._last is None else max(now, self._last)

    def plan(
        self, now: float, count: int, allowed: Collection[str] | None = None, size: int | None = None
    ) -> tuple[tuple[tuple[str, ...], str], ...]:
        """A look at the next questions if answers come as expected: (features, why of the first one) for
        each.

        Changes nothing. The real plan goes by the real answers.
        """
        shares = self._shares(now, allowed)
        claims, recent = dict(self._claims), list(self._recent)
        plan = []
        for _ in range(count):
            chosen = self._choose(now, claims, recent, shares, size or self.size)
            recent = _asked(claims, recent, shares, chosen)
            plan.append((chosen, self.why(chosen[0], now)))
        return tuple(plan)

    def why(self, feature: str, now: float) -> str:
        """Why a feature is asked: one of four words.

        repair: weak; refresh: fading; reach: the next thing; fresh: read well, so ask it on patterns never
        seen.
        """
        belief = self.memory.belief(feature, now)
        if belief.count <= NEW_UP_TO:
            return REACH
        if belief.mean < WEAK_BELOW:
            faded = self.memory.belief(feature, belief.last if belief.last is not None else now).mean
            return REFRESH if faded >= WEAK_BELOW else REPAIR
        if (
            belief.last is not None
            and self.memory.belief(feature, belief.last).mean - belief.mean >= FADED_BY
        ):
            return REFRESH
        return FRESH

    def open(self, now: float) -> tuple[str, ...]:
        """The features that may be asked: practised before, or all that they build on holds; never empty."""
        found = tuple(feature for feature in self.features if self._is_open(feature, now))
        return found or self.features[:1]

    def waits_for(self, feature: str, now: float) -> tuple[str, ...]:
        """The features that this one builds on and that do not hold yet."""
        return tuple(base for base in self._builds_on.get(feature, ()) if not self._holds(base, now))

    def _borne_out(self, now: float, features: Sequence[str], bits: Sequence[bool]) -> float:
        """The guess rate that the answers so far, with these, make likeliest (Bayes' rule over three)."""
        for feature, bit in zip(features, bits, strict=True):
            read = self.memory.predict((feature,), now)
            for guess, weight in self._guesses.items():
                right = guess + (1 - guess) * read
                self._guesses[guess] = weight * (right if bit else 1 - right)
        most = max(self._guesses.values())
        self._guesses = {guess: max(weight / most, 1e-6) for guess, weight in self._guesses.items()}
        return max(self._guesses, key=self._guesses.__getitem__)

    def _is_open(self, feature: str, now: float) -> bool:
        if feature in self._practised:
            return True
        if self.memory.belief(feature, now).count:
            self._practised.add(feature)
            return True
        return not self.waits_for(feature, now)

    def _holds(self, feature: str, now: float) -> bool:
        belief = self.memory.belief(feature, now)
        return belief.count > NEW_UP_TO and belief.mean >= HELD_FROM

    def _shares(self, now: float, allowed: Collection[str] | None) -> dict[str, float]:
        """The part of the signs asked in this session that each feature should have; sums to one."""
        if not self.features:
            raise ValueError("a planner without features has nothing to ask")
        asked = [feature for feature in self.features if allowed is not None and feature in allowed]
        asked = asked or list(self.open(now))
        begun = self._last is not None and now - self._last < SESSION_GAP
        if begun and all(feature in self._mix for feature in asked):
            needs = {feature: self._mix[feature] for feature in asked}
        else:
            needs = self._fresh_mix(asked, now)
        total = sum(needs.values())
        return {feature: need / total for feature, need in needs.items()}

    def _fresh_mix(self, asked: Sequence[str], now: float) -> dict[str, float]:
        """Shares by doses and by the rule together."""
        doses = dealt(curves(self.memory, asked, now), asked, self._signs, self._costs)
        needs = {feature: self._need(feature, now) / self._costs.get(feature, 1.0) for feature in asked}
        most, all_needs = sum(doses.values()) or 1.0, sum(needs.values())
        return {
            feature: BY_DOSES * doses[feature] / most
            + (1 - BY_DOSES) * needs[feature] / all_needs
            + FLOOR / len(asked)
            for feature in asked
        }

    def _need(self, feature: str, now: float) -> float:
        """How much there is to gain: what will be missing later if nothing is done."""
        top = 1 - self.memory.prior.slip
        kinds = self.memory.mixture(feature, now + AHEAD)
        missing = sum(part * (1 - top * expected(mean, doubt)) ** POWER for part, mean, doubt in kinds)
        return float(missing) + FLOOR

    def _choose(
        self,
        now: float,
        claims: Mapping[str, float],
        recent: Sequence[frozenset[str]],
        shares: Mapping[str, float],
        size: int,
    ) -> tuple[str, ...]:
        ranked = sorted(
            shares,
            key=lambda feature: (
                -claims.get(feature, 0.0) - shares[feature] * size,
                self._ties.get(feature, 0),
            ),
        )
        chosen = tuple(ranked[:size])
        if len(recent) >= 2 and recent[-1] == recent[-2] == frozenset(chosen) and len(ranked) > size:
            chosen = (*ranked[: size - 1], ranked[size])
        return chosen

    def _add(self, feature: str) -> None:
        self.features = (*self.features, feature)
        self._ties[feature] = len(self._ties)
        self._claims[feature] = 0.0


def _asked(
    claims: dict[str, float],
    recent: Sequence[frozenset[str]],
    shares: Mapping[str, float],
    features: Sequence[str],
) -> list[frozenset[str]]:
    """Settle the claims (in place) after a question; gives the newest question sets."""
    for feature, share in shares.items():
        claims[feature] = min(claims.get(feature, 0.0) + share * len(features), 3.0)
    for feature in features:
        claims[feature] = max(claims.get(feature, 0.0) - 1, -3.0)
    return [*recent[-1:], frozenset(features)]
