"""From what the filter believes to a forecast: what logs of many learners show that it leaves out.

Conventions: seconds, logits, chances of reading right without guessing. A question's key is its feature, or
the frozenset of its features where there are several.

    logit P = sum of cells + slopes . (z, bends of z, leans) + set effect + effect of this set after that

z is the logit of the filter's own chance. Cells stand for ranges of what is known when the question is put:
seconds since the last answer, since the features were last met, answers about them so far, how the question
before went and how far it was about the same, answers so far. Leans are running means of (right or wrong
minus what the filter expected) for the set, its features and everything. That recent success, counts of
practice and time windows carry evidence of their own is known from Pavlik, Cen and Koedinger 2009 and from
Choffin, Popineau, Bourda and Vie 2019; combining forecasts by a logistic regression is Wolpert's stacking
(1992), and as to calibration Platt's scaling (1999).
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from drillapp.learning.traces import Trace, sigmoid

Key = str | frozenset[str]
Pair = tuple[Key | None, Key]

PAUSES = (3.0, 8.0, 20.0, 60.0, 300.0, 1800.0, 21600.0, 86400.0, 345600.0, 1296000.0)
AWAY = (30.0, 120.0, 600.0, 3600.0, 21600.0, 86400.0, 259200.0, 604800.0, 1814400.0, 5184000.0)
COUNTS = (1, 2, 3, 5, 9, 17, 33, 65)
ANSWERS = (5, 10, 20, 50, 100, 200, 500, 1000)
RUNS = (2, 3, 5)
BENDS = (-1.0, 1.0, 2.5)
SAME_SITTING = 1800.0
_PAUSE = len(PAUSES) + 2
_AWAY = _PAUSE + len(AWAY) + 2
_COUNT = _AWAY + 3 * (len(COUNTS) + 1)
_BEFORE = _COUNT + 5 + 2 * (len(RUNS) + 1)
CELLS = _BEFORE + len(ANSWERS) + 1
"""How many cells there are in all; a question is in five of them."""
SLOPES = 1 + len(BENDS) + 4
_LEANS = 1 + len(BENDS)
_BENDS = tuple(enumerate(BENDS, 1))
_FADE, _FEW = 0.9, 3.0
_RARE = 1e-6
_log = math.log


@dataclass(frozen=True)
class Readout:
    """The fitted table; the default gives the filter's own chance.

    cells: an effect for each cell; slopes: of z, of its bends, of the leans; sets, pairs: effects of a
    question's key, and of its key after that of the question before (None: the first in a sitting).
    """

    cells: tuple[float, ...] = (0.0,) * CELLS
    slopes: tuple[float, ...] = (1.0,) + (0.0,) * (SLOPES - 1)
    sets: Mapping[Key, float] = field(default_factory=dict)
    pairs: Mapping[Pair, float] = field(default_factory=dict)

    def shift(self, lately: Lately, traces: Mapping[str, Trace], names: tuple[str, ...], now: float) -> float:
        """What is added to the logit of the filter's chance, but for the bends."""
        key = names[0] if len(names) == 1 else frozenset(names)
        effects, slopes = self.cells, self.slopes
        one, two, three, four, five = lately.cells(traces, names, key, now)
        whole, mean, lowest, all_ = lately.leans(names, key)
        return (
            self.sets.get(key, 0.0)
            + self.pairs.get((lately.before(now), key), 0.0)
            + effects[one]
            + effects[two]
            + effects[three]
            + effects[four]
            + effects[five]
            + slopes[_LEANS] * whole
            + slopes[_LEANS + 1] * mean
            + slopes[_LEANS + 2] * lowest
            + slopes[_LEANS + 3] * all_
        )

    def chance(self, read: float, shift: float) -> float:
        """The chance of reading right, from the filter's and the shift."""
        if read < _RARE:
            read = _RARE
        elif read > 1 - _RARE:
            read = 1 - _RARE
        z = _log(read / (1 - read))
        slopes = self.slopes
        total = shift + slopes[0] * z
        for place, at in _BENDS:
            if z <= at:
                break
            total += slopes[place] * (z - at)
        chance = sigmoid(total)
        return _RARE if chance < _RARE else 1 - _RARE if chance > 1 - _RARE else chance


class Lately:
    """What came lately for one learner, as far as a readout asks."""

    __slots__ = ("_key", "_last", "_leans", "_right", "_run", "count")

    def __init__(self) -> None:
        self.count = 0
        self._last: float | None = None
        self._key: Key | None = None
        self._right = False
        self._run = 0
        self._leans: dict[Key, tuple[float, float]] = {}

    def copy(self) -> Lately:
        twin = Lately()
        twin.count, twin._last, twin._key = self.count, self._last, self._key
        twin._right, twin._run, twin._leans = self._right, self._run, dict(self._leans)
        return twin

    def before(self, now: float) -> Key | None:
        """Key of the question before, None where that was in another sitting."""
        return self._key if self._last is not None and now - self._last < SAME_SITTING else None

    def cells(
        self, traces: Mapping[str, Trace], names: tuple[str, ...], key: Key, now: float
    ) -> tuple[int, ...]:
        """The cells of a question put now."""
        last = self._last
        pause = 0 if last is None else 1 + bisect_right(PAUSES, now - last)
        away, least = 0.0, 1 << 30
        for name in names:
            trace = traces.get(name)
            if trace is None or trace.last is None:
                least = 0
                continue
            if trace.count < least:
                least = trace.count
            if now - trace.last > away:
                away = now - trace.last
        gone = _PAUSE + (1 + bisect_right(AWAY, away) if least else 0)
        several = len(names) - 1 if len(names) < 4 else 2
        practised = _AWAY + 3 * bisect_right(COUNTS, least) + max(several, 0)
        went = _COUNT
        if last is not None and now - last < SAME_SITTING:
            right = self._right
            if self._key == key:
                went += 5 + 2 * bisect_right(RUNS, self._run) + right
            elif _meet(self._key, names):
                went += 3 + right
            else:
                went += 1 + right
        return pause, gone, practised, went, _BEFORE + bisect_right(ANSWERS, self.count)

    def leans(self, names: tuple[str, ...], key: Key) -> tuple[float, float, float, float]:
        """Running means of what came beyond expectation: of the set, its features, the lowest, all."""
        found = self._leans
        if not found:
            return 0.0, 0.0, 0.0, 0.0
        if len(names) == 1:
            whole = _mean(found.get(key))
            return whole, whole, whole, _mean(found[""])
        each = [_mean(found.get(name)) for name in names] or [0.0]
        return _mean(found.get(key)), sum(each) / len(each), min(each), _mean(found[""])

    def learn(self, names: tuple[str, ...], now: float, right: bool, beyond: float) -> None:
        """Note an answer; beyond: 1 or 0 for right or wrong, minus what the filter expected."""
        key = key_of(names)
        self.count += 1
        self._run = self._run + 1 if key == self._key and self.before(now) is not None else 1
        self._key, self._right = key, right
        if self._last is None or now > self._last:
            self._last = now
        found = self._leans
        for one in (*names, "") if len(names) < 2 else (*names, key, ""):
            total, weight = found.get(one, (0.0, 0.0))
            found[one] = _FADE * total + beyond, _FADE * weight + 1


def key_of(names: Sequence[str]) -> Key:
    """What stands for a question about these features."""
    return names[0] if len(names) == 1 else frozenset(names)


def bent(z: float) -> tuple[float, ...]:
    """A logit and its parts above each bend, so that the readout need not be a straight line."""
    return (z, *[z - at if z > at else 0.0 for at in BENDS])


def _mean(lean: tuple[float, float] | None) -> float:
    return 0.0 if lean is None else lean[0] / (lean[1] + _FEW)


def _meet(key: Key | None, names: tuple[str, ...]) -> bool:
    return any(name in key for name in names) if isinstance(key, frozenset) else key in names
