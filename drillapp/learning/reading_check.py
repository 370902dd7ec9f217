"""The reading check: an adaptive session that names the weak signs, or says that there is none, then stops.

Conventions: as in `drillapp.learning.diagnosis`. Asking next about the likeliest weak sign makes an answer
tell most; an even first round, and every fourth question to the sign asked least, keep the learner's own
level in view, without which no sign can be called weak beyond it. Answers that cannot be guessed tell about
three times as much as picks between two, so the caller should ask by Strum it or Write it down where a sign
can be so asked.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import replace

from drillapp.learning.diagnosis import USUAL_LEVEL, Diagnosis, Evidences, Read

ROUNDS = 2


class ReadingCheck:
    """One check of one learner.

    features: the signs looked at, at least one; error_rate: chance of naming a sign that is not weak; most:
    reads after which the check ends without an answer; level: the learner's accuracy where it is known
    (from a Memory, say); seed: breaks ties.

    >>> check = ReadingCheck(("beat", "tie", "rest"), most=40)
    >>> check.done
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
        self._first: list[Read] | None = [] if level is None else None
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

    def record(self, reads: Iterable[Read]) -> Diagnosis:
        """Take the evidence of one answer (one or several reads); gives what it now shows."""
        for read in reads:
            self._evidence.add(read)
            if self._first is not None:
                self._first.append(read)
            self._asked += 1
            for feature in (read.features,) if isinstance(read.features, str) else read.features:
                self._reads[feature] = self._reads.get(feature, 0) + 1
                self._recent = [*self._recent[-2:], feature]
        if self._first is not None:
            if min(self._reads[feature] for feature in self.features) < ROUNDS:
                self.result = replace(self._evidence.judge(self.error_rate), weak=(), clear=False)
                return self.result
            self._evidence = Evidences(self.features, _level(self._first))
            for read in self._first:
                self._evidence.add(read)
            self._first = None
        self.result = self._evidence.judge(self.error_rate)
        return self.result


def _level(reads: Sequence[Read]) -> float:
    """The level that these reads show, leaning to the usual one as if by eight more."""
    told = sum(1 - read.guess for read in reads)
    right = sum(read.correct - read.guess for read in reads)
    return min(max((8 * USUAL_LEVEL + right) / (8 + told), 0.3), 0.97)
