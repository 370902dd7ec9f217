"""The reading check: an adaptive session that names the weak signs, or says that there is none, then stops.

Conventions: as in `drillapp.learning.diagnosis`. Asking next about the likeliest weak sign makes an answer
tell most; an even first round, and every fourth question to the sign asked least, keep the learner's own
level in view, without which no sign can be called weak beyond it. Answers that cannot be guessed tell about
three times as much as picks between two, so the caller should ask by Strum it or Write it down where a sign
can be so asked.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from drillapp.learning.diagnosis import USUAL_LEVEL, WEAK_CHANCE, Diagnosis, Evidences, Read

ROUNDS = 2
CLEARED = 0.1
"""Bayes factor of weak against usual at which a sign is no longer looked at."""


class WeaknessTest:
    """One check of one learner.

    features: the signs looked at, at least one; error_rate: chance of naming a sign that is not weak; most:
    reads after which the check ends without an answer; level: the learner's accuracy where it is known
    (from a Memory, say); seed: breaks ties. Raises ValueError without a feature or for an error rate outside
    (0, 0.5].

    >>> test = WeaknessTest(("beat", "tie", "rest"), most=40)
    >>> test.done
    False
    """

    def __init__(
        self,
        features: Sequence[str],
        error_rate: float = 0.05,
        most: int = 60,
        level: float | None = None,
        seed: int = 0,
    ) -> None:
        self.features = tuple(dict.fromkeys(features))
        if not self.features:
            raise ValueError("a reading check needs at least one feature")
        self.error_rate, self.most = error_rate, most
        self._evidence = Evidences(self.features, USUAL_LEVEL if level is None else level)
        self._first: list[tuple[Read, float]] | None = [] if level is None else None
        self._order = list(self.features)
        random.Random(seed).shuffle(self._order)
        self._reads = dict.fromkeys(self.features, 0)
        self._asked = 0
        self._recent: list[str] = []
        self.result = self._evidence.judge(error_rate)

    @property
    def asked(self) -> int:
        """Answers taken so far."""
        return self._asked

    @property
    def done(self) -> bool:
        """Whether it can stop: a sign is named and no other suspected, none is weak, or enough was asked."""
        if self._asked >= self.most or self.result.clear:
            return True
        rest = [suspect for suspect in self.result.suspects if suspect.feature not in self.result.weak]
        return bool(self.result.weak) and all(suspect.chance < 0.3 for suspect in rest)

    def next(self, allowed: Iterable[str] | None = None) -> str:
        """The feature to ask about next. allowed: only one of these, where any is known."""
        open_now = [
            feature for feature in self._order if allowed is None or feature in set(allowed)
        ] or self._order
        least = min(open_now, key=lambda feature: self._reads[feature])
        if self._reads[least] < ROUNDS or self._asked % 4 == 3:
            return least
        for suspect in self.result.suspects:
            name = suspect.feature
            if name in open_now and name not in self.result.weak and self._recent[-3:] != [name] * 3:
                return name
        return least

    @property
    def open(self) -> tuple[str, ...]:
        """The signs neither named nor cleared yet, likeliest first."""
        odds = CLEARED * WEAK_CHANCE / (1 - WEAK_CHANCE)
        least = odds / (1 + odds)
        first = self._first is not None  # nothing is settled before the level is known
        return tuple(
            suspect.feature
            for suspect in self.result.suspects
            if first or (suspect.feature not in self.result.weak and suspect.chance > least)
        )

    @property
    def doubts(self) -> dict[str, float]:
        """How open it is whether each sign is weak: the standard deviation of that bit, 0 to 0.5."""
        return {
            suspect.feature: math.sqrt(suspect.chance * (1 - suspect.chance))
            for suspect in self.result.suspects
        }

    def record(self, reads: Iterable[Read], most_alike: float = math.inf) -> Diagnosis:
        """Take the evidence of one answer (one or several reads); gives what it now shows.

        most_alike: how many reads of the same features in one answer count for at most; signs of one kind on
        one page are read in one go and are not quite independent.
        """
        page = list(reads)
        alike = Counter(_names(read) for read in page)
        for read in page:
            weight = min(1.0, most_alike / alike[_names(read)])
            self._evidence.add(read, weight)
            if self._first is not None:
                self._first.append((read, weight))
            self._asked += 1
            for feature in _names(read):
                self._reads[feature] = self._reads.get(feature, 0) + 1
                self._recent = [*self._recent[-2:], feature]
        if self._first is not None:
            if not self._level_shows():
                self.result = replace(self._evidence.judge(self.error_rate), weak=(), clear=False)
                return self.result
            self._evidence = Evidences(self.features, _level(self._first))
            for read, weight in self._first:
                self._evidence.add(read, weight)
            self._first = None
        self.result = self._evidence.judge(self.error_rate)
        return self.result

    def _level_shows(self) -> bool:
        """Whether the answers so far tell the learner's level, not only how a few signs are read."""
        often = sum(self._reads[feature] >= ROUNDS for feature in self.features)
        many = sum(weight for _, weight in self._first or ()) >= 2 * ROUNDS * len(self.features)
        return often == len(self.features) or (many and 2 * often > len(self.features))


def _names(read: Read) -> tuple[str, ...]:
    return (read.features,) if isinstance(read.features, str) else tuple(read.features)


def _level(reads: Sequence[tuple[Read, float]]) -> float:
    """The level that these reads show, leaning to the usual one as if by eight more."""
    told = sum((1 - read.guess) * weight for read, weight in reads)
    right = sum((read.correct - read.guess) * weight for read, weight in reads)
    return min(max((8 * USUAL_LEVEL + right) / (8 + told), 0.3), 0.97)
