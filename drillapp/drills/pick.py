"""Pick questions: a factorial set of candidates, and what a pick says about reading.

A set is made from independent factors (see ``drillapp.music.ways``), applied in all combinations to one
pattern; any of the candidates may be the written one, so none is the odd one out and each factor is a
forced choice with guess rate one over its ways. One rule gives evidence: a factor is evidence for the
features whose signs its ways change in the shown layers. A wrong pick is evidence for the signs in which
what was read differs from what was written; a right one for all that the ways change.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import combinations, product
from operator import itemgetter
from typing import Any

from drillapp.music import FEATURE_TABLE, FEATURES, Pattern, Sign, check_layers, look
from drillapp.music.errors import CodedError
from drillapp.music.features import sign_set
from drillapp.music.ways import MAY_CHANGE, STRUCTURAL, Factor, Way, changed, factors, in_table_order, write

from .ear import heard_apart

SIZES = (2, 3, 4)
_BATCH = 8
BASIC = frozenset(name for name, row in FEATURE_TABLE.items() if row.basic)


@lru_cache(maxsize=4096)
def counted(features: tuple[str, ...]) -> tuple[str, ...]:
    """The features that an answer is counted for in tables.

    A tie missed on 3 is also a dash and a beat misread; every sign stands on some beat. So that the table
    points at the sign that went wrong, beats, offbeats and skips are counted only where no other is at stake.

    >>> counted(("tie", "beat", "skip")), counted(("beat", "skip"))
    (('tie',), ('beat', 'skip'))
    """
    specific = tuple(feature for feature in features if feature not in BASIC)
    return specific or tuple(features)


class NoQuestion(CodedError, ValueError):
    """This pattern, on these layers, cannot ask for these features."""


@dataclass(frozen=True)
class Evidence:
    """What one forced choice says: about which features, right or wrong, its chance of a lucky guess.

    ``present``: a sign of the first feature stood in what was written (told apart from seeing signs that
    are not there). ``stake``: of the features, those whose signs stand at the very place that was read (to
    mute a stroke may also turn a tie after it into a rest, but that was not misread); empty where all do.
    """

    features: tuple[str, ...]
    correct: bool
    guess: float
    present: bool
    stake: tuple[str, ...] = ()

    @property
    def sharp(self) -> tuple[str, ...]:
        """The features to hold this answer against."""
        return self.stake or self.features


@dataclass(frozen=True)
class PickQuestion:
    """A set of candidates, one of them written.

    ``choices`` holds, for each candidate, the number of the way that each factor is written in.
    ``asked`` are the features that the question was made for.
    """

    base: Pattern
    layers: tuple[str, ...]
    asked: tuple[str, ...]
    factors: tuple[Factor, ...]
    choices: tuple[tuple[int, ...], ...]
    answer: int

    @cached_property
    def candidates(self) -> tuple[Pattern, ...]:
        return tuple(write(self.base, self._ways(choice)) for choice in self.choices)

    @property
    def written(self) -> Pattern:
        """The pattern that is shown (Page to sound) or played (Sound to page)."""
        return self.candidates[self.answer]

    def grade(self, index: int | None) -> tuple[Evidence, ...]:
        """Evidence of picking candidate ``index`` (None for Not sure), one for each factor.

        Raises IndexError where there is no such candidate.
        """
        if index is not None and not 0 <= index < len(self.choices):
            raise IndexError(f"candidate {index} is not one of 0 to {len(self.choices) - 1}")
        return tuple(self._evidence(number, index) for number in range(len(self.factors)))

    def way_written(self, number: int) -> Way:
        """The way that factor ``number`` is written in."""
        return self.factors[number].ways[self.choices[self.answer][number]]

    def way_read(self, number: int, index: int | None) -> Way | None:
        """The way that picking ``index`` reads factor ``number`` as; None for Not sure."""
        return None if index is None else self.factors[number].ways[self.choices[index][number]]

    def features(self, number: int) -> tuple[str, ...]:
        """The features that factor ``number`` is evidence for, asked ones first."""
        found, _ = _features(self.factors[number], self._alternatives(number), self.layers)
        return self._rank(found)

    def _evidence(self, number: int, index: int | None) -> Evidence:
        factor, written = self.factors[number], self._alternatives(number)
        mine = self.choices[self.answer][number]
        picked = None if index is None else self.choices[index][number]
        if picked is not None and picked != mine:
            written = (written[mine], written[picked])  # only these two were taken for each other
        features, stake = map(self._rank, _features(factor, written, self.layers))
        present = self._present(number, features[0])
        return Evidence(
            features, picked == mine, 1 / len(factor.ways), present, () if stake == features else stake
        )

    def _present(self, number: int, feature: str) -> bool:
        if self.factors[number].kind == "meter":
            return True
        here = sign_set(self.written, self.layers)
        return any(
            sign.feature == feature and sign in here
            for other in self._alternatives(number)
            for sign in changed(self.written, other, self.layers)
        )

    def _rank(self, features: Iterable[str]) -> tuple[str, ...]:
        ordered = in_table_order(features)
        asked = [feature for feature in self.asked if feature in ordered]
        return (*asked, *(feature for feature in ordered if feature not in asked))

    def _alternatives(self, number: int) -> tuple[Pattern, ...]:
        """The written pattern with factor ``number`` in each of its ways."""
        choice = list(self.choices[self.answer])
        found = []
        for way in range(len(self.factors[number].ways)):
            choice[number] = way
            found.append(write(self.base, self._ways(choice)))
        return tuple(found)

    def _ways(self, choice: Sequence[int]) -> list[tuple[Factor, Way]]:
        return [(factor, factor.ways[way]) for factor, way in zip(self.factors, choice, strict=True)]


def pick_question(
    pattern: Pattern,
    features: Iterable[str],
    layers: Iterable[str],
    rng: Any,
    size: int = 4,
    within: Iterable[str] = FEATURES,
) -> PickQuestion:
    """A question on ``pattern`` that gives evidence for every one of ``features`` on the shown layers.

    ``rng`` is a ``random.Random`` or a ``numpy.random.Generator``; ``size`` the number of candidates: 2 or
    3 (one factor) or 4 (two factors of two ways, or one of four). No feature outside ``within`` and the
    asked ones is touched (signs that the learner has not met). Raises NoQuestion (a ValueError) where this
    pattern cannot ask that on these layers, ValueError for unknown features, layers or size.
    """
    shown = check_layers(layers)
    asked = tuple(dict.fromkeys((features,) if isinstance(features, str) else features))
    unknown = [feature for feature in asked if feature not in FEATURES]
    if unknown or not asked:
        what = f"{unknown[0]!r} is not a feature" if unknown else "no feature is asked for"
        raise ValueError(f"{what}; choose from {', '.join(FEATURES)}")
    if size not in SIZES:
        raise ValueError(f"a pick question has 2, 3 or 4 candidates, not {size!r}")
    for chosen in _designs(pattern, asked, shown, rng, size, {*within, *asked}):
        choices = list(product(*(range(len(factor.ways)) for factor in chosen)))
        candidates = [write(pattern, list(zip(chosen, _ways(chosen, c), strict=True))) for c in choices]
        if _tell_apart(candidates, shown) and _undisturbed(choices, candidates, shown):
            _shuffle(choices, rng)
            return PickQuestion(pattern, shown, asked, chosen, tuple(choices), _below(rng, len(choices)))
    raise NoQuestion(
        f"{pattern.text!r} in {pattern.meter.text} has no place that asks for {' and '.join(asked)} "
        f"in {size} ways on {', '.join(shown)}",
        code="pattern-cannot-ask",
        places={
            "text": pattern.text,
            "meter": pattern.meter.text,
            "asked": asked,
            "size": size,
            "layers": shown,
        },
    )


@dataclass(frozen=True)
class _Option:
    """A factor with some of its ways; the features whose signs these change, anywhere and at the place."""

    factor: Factor
    features: frozenset[str]
    stake: frozenset[str]


_Design = tuple[tuple[Factor, ...], frozenset[str]]


def _designs(
    pattern: Pattern, asked: tuple[str, ...], layers: tuple[str, ...], rng: Any, size: int, allowed: set[str]
) -> Iterable[tuple[Factor, ...]]:
    """Sets of factors that together ask for all of ``asked``, the most to the point first.

    Long patterns have hundreds of factors, so they are looked through in random batches.
    """
    wanted = set(asked)
    about = [factor for factor in factors(pattern) if wanted & MAY_CHANGE[factor.kind]]
    _shuffle(about, rng)
    options: list[_Option] = []
    tried: set[tuple[Factor, ...]] = set()
    for start in range(0, len(about), _BATCH):
        for factor in about[start : start + _BATCH]:
            for option in _selections(pattern, factor, layers, size):
                if wanted & option.stake and option.features <= allowed:
                    options.append(option)
        designs = [design for design in _combined(options, wanted, size) if design[0] not in tried]
        tried.update(chosen for chosen, _ in designs)
        costs = [(_cost(chosen, found, wanted, rng), chosen) for chosen, found in designs]
        yield from (chosen for _, chosen in sorted(costs, key=itemgetter(0)))


def _combined(options: list[_Option], wanted: set[str], size: int) -> Iterator[_Design]:
    for option in options:
        if len(option.factor.ways) == size and wanted <= option.stake:
            yield (option.factor,), option.features
    if size == 4:
        twos = [option for option in options if len(option.factor.ways) == 2]
        for one, two in combinations(twos, 2):
            if wanted <= one.stake | two.stake and _may_stand_together(one.factor, two.factor):
                yield (one.factor, two.factor), one.features | two.features


def _cost(chosen: tuple[Factor, ...], features: frozenset[str], wanted: set[str], rng: Any) -> float:
    """How far a design is from the point: signs nobody asked about, most of all the less basic ones."""
    foreign = sum(0.4 if feature in BASIC else 1.0 for feature in features - wanted)
    return foreign + (1.5 if len(chosen[0].ways) == 4 else 0.0) + float(rng.random())


def _selections(pattern: Pattern, factor: Factor, layers: tuple[str, ...], size: int) -> Iterator[_Option]:
    """The factor with each choice of ways that look different and that a set of ``size`` could use."""
    ways: dict[Hashable, tuple[Way, Pattern]] = {}
    for way in factor.ways:
        as_written = write(pattern, [(factor, way)])
        ways.setdefault(look(as_written, layers), (way, as_written))
    for count in (2, 4) if size == 4 else (size,):
        for chosen in combinations(ways.values(), count):
            option = replace(factor, ways=tuple(way for way, _ in chosen))
            patterns = [written for _, written in chosen]
            found, stake = map(frozenset, _features(option, patterns, layers))
            yield _Option(option, found, stake)


def _may_stand_together(first: Factor, second: Factor) -> bool:
    if first.kind in STRUCTURAL and second.kind in STRUCTURAL:
        return False
    return not first.touches & second.touches and (first.kind, first.index) != (second.kind, second.index)


def _tell_apart(candidates: Sequence[Pattern], layers: tuple[str, ...]) -> bool:
    return all(
        look(a, layers) != look(b, layers) and heard_apart(a, b) for a, b in combinations(candidates, 2)
    )


def _undisturbed(
    choices: Sequence[tuple[int, ...]], candidates: Sequence[Pattern], layers: tuple[str, ...]
) -> bool:
    """Whether each factor changes the same signs whichever way the others are written in."""
    seen: dict[tuple[int, int, int], frozenset[Sign]] = {}
    for (one, first), (two, second) in combinations(zip(choices, candidates, strict=True), 2):
        differ = [n for n in range(len(one)) if one[n] != two[n]]
        if len(differ) == 1:
            number = differ[0]
            signs = changed(first, second, layers)
            if seen.setdefault((number, one[number], two[number]), signs) != signs:
                return False
    return True


def _features(
    factor: Factor, written: Sequence[Pattern], layers: tuple[str, ...]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The features whose signs change between these ways, and those of which a sign of the place changes."""
    if factor.kind == "meter":
        # Another number of beats moves every later sign; what is read is the meter.
        shown = ("meter",) if set(FEATURE_TABLE["meter"].layers) & set(layers) else ()
        return shown, shown
    found = [sign for a, b in combinations(written, 2) for sign in changed(a, b, layers)]
    start, end = factor.stretch
    there = [sign for sign in found if start <= sign.at < end] or found
    return in_table_order(sign.feature for sign in found), in_table_order(sign.feature for sign in there)


def _ways(chosen: tuple[Factor, ...], choice: tuple[int, ...]) -> list[Way]:
    return [factor.ways[way] for factor, way in zip(chosen, choice, strict=True)]


def _below(rng: Any, n: int) -> int:
    return int(rng.integers(n)) if hasattr(rng, "integers") else int(rng.randrange(n))


def _shuffle(items: list[Any], rng: Any) -> None:
    for last in range(len(items) - 1, 0, -1):
        other = _below(rng, last + 1)
        items[last], items[other] = items[other], items[last]
