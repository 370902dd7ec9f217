"""What was written, and what was read instead: the facts that a sentence is made of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drillapp.music import Pattern
from drillapp.music.slots import Hand, natural_hand
from drillapp.music.ways import RINGING, Factor, Way

from .pick import Evidence, PickQuestion

#: the word for a place tied on where nothing sounds, so that nothing rings on
PASSED_BY = "passed by"


@dataclass(frozen=True)
class Told:
    """One factor to tell of: its kind, its slot in ``Explanation.pattern``, how it was written and read.

    ``written`` and ``read`` are names of ways, or PASSED_BY; ``read`` is None where it was read as written,
    or not answered.
    """

    kind: str
    index: int
    written: str
    read: str | None = None


@dataclass(frozen=True)
class Explanation:
    """What there is to say after an answer.

    ``told``: the factors that were misread, or all of them where none was, in the order of the bar; ``sign``:
    the feature to give advice on; ``pattern``: the one whose slots ``told`` counts. ``places`` and
    ``chosen_places`` are the indexes of the slots to mark in the written pattern and in the chosen one.
    """

    told: tuple[Told, ...]
    sign: str
    pattern: Pattern
    places: tuple[int, ...]
    chosen_places: tuple[int, ...]


def explain(question: PickQuestion, index: int | None, evidence: Sequence[Evidence]) -> Explanation:
    """Why candidate ``index`` is or is not the written one (None for Not sure).

    ``evidence``: what ``question.grade(index)`` gave.
    """
    numbers = sorted(range(len(question.factors)), key=lambda n: question.factors[n].at)
    wrong = [n for n in numbers if question.way_read(n, index) not in (None, question.way_written(n))]
    chosen = question.written if index is None else question.candidates[index]
    told = wrong or numbers
    features = evidence[told[0]].sharp
    return Explanation(
        tuple(_told(question, n, index if wrong else None) for n in told),
        features[0],
        question.base,
        _places(question, told, question.written),
        _places(question, told, chosen),
    )


def motion(pattern: Pattern, index: int) -> Hand:
    """Which way the hand moves at a slot: that of its stroke, else the one that it has there."""
    place = pattern.places[index]
    if place.slot.hand is not None:
        return place.slot.hand
    before = pattern.places[index - 1].struck if place.number else False
    return natural_hand(place.number, place.of, before)


def _told(question: PickQuestion, number: int, index: int | None) -> Told:
    factor, written = question.factors[number], question.way_written(number)
    read = question.way_read(number, index)
    return Told(
        factor.kind,
        factor.index,
        _name(question.written, factor, written),
        None if read is None or index is None else _name(question.candidates[index], factor, read),
    )


def _name(pattern: Pattern, factor: Factor, way: Way) -> str:
    if way.name == RINGING:
        place = next(place for place in pattern.places if place.at == factor.at)
        if place.slot.action == "rest":
            return PASSED_BY
    return way.name


def _places(question: PickQuestion, numbers: list[int], pattern: Pattern) -> tuple[int, ...]:
    """The slots where the told factors stand in this candidate, which may be built otherwise."""
    found: set[int] = set()
    at = {place.at: place.index for place in pattern.places}
    for number in numbers:
        factor = question.factors[number]
        if factor.kind == "meter":
            last = [place for place in pattern.places if place.bar == 0][-1]
            found.update(p.index for p in pattern.places if p.bar == 0 and p.beat == last.beat)
        elif factor.kind == "swing":
            found.update(
                p.index for p in pattern.places if p.struck and p.of in (2, 4) and 2 * p.number == p.of
            )
        elif factor.kind == "division":
            here = next(p for p in pattern.places if p.at == factor.at)
            found.update(range(here.index, here.index + here.of))
        elif factor.kind == "shift":
            here = next(p for p in pattern.places if p.at == factor.at)
            found.update((here.index, here.index + 1))
        else:
            found.add(at[factor.at])
    return tuple(sorted(found))
