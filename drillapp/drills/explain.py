"""Saying in one sentence what was written, and what was read instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drillapp.music import FEATURE_TABLE, Pattern, syllables
from drillapp.music.ways import Factor, Way

from .pick import Evidence, PickQuestion

_WRITTEN: dict[str, str] = {
    "struck": "the chord is struck",
    "muted": "the stroke is muted",
    "tied on": "the chord rings on",
    "silent": "the strings are silent",
    "accented": "the stroke is accented",
    "plain": "the stroke has no accent",
    "here": "the stroke falls here",
    "a slot later": "the stroke waits for the next place",
    "down": "the hand strikes down",
    "up": "the hand strikes up",
    "in two": "the beat is in two",
    "in three": "the beat is in three",
}
_CHOSEN: dict[str, str] = {
    "struck": "strikes it",
    "muted": "mutes it",
    "tied on": "lets the chord ring on",
    "silent": "has silence there",
    "accented": "accents it",
    "plain": "leaves the accent out",
    "here": "strikes at once",
    "a slot later": "strikes one place later",
    "down": "strikes down",
    "up": "strikes up",
    "in two": "has it in two",
    "in three": "has it in three",
    "even": "plays them even",
    "swung": "swings them",
}


@dataclass(frozen=True)
class Explanation:
    """What to say after an answer.

    ``sentence`` says what was written and, where it was misread, what was chosen; ``advice`` one line
    about the sign. ``places`` and ``chosen_places`` are the indexes of the slots to mark in the written
    pattern and in the chosen one.
    """

    sentence: str
    advice: str
    places: tuple[int, ...]
    chosen_places: tuple[int, ...]


def explain(question: PickQuestion, index: int | None, evidence: Sequence[Evidence]) -> Explanation:
    """Why candidate ``index`` is or is not the written one (None for Not sure).

    ``evidence``: what ``question.grade(index)`` gave.
    """
    numbers = sorted(range(len(question.factors)), key=lambda n: question.factors[n].at)
    wrong = [n for n in numbers if question.way_read(n, index) not in (None, question.way_written(n))]
    told = wrong or numbers
    chosen = question.written if index is None else question.candidates[index]
    clauses = [_written(question, n) for n in told]
    if len(wrong) == 1:
        sentence = f"{_sentence(clauses[0])} The one you chose {_read(question, wrong[0], chosen)}."
    else:
        reads = [f" where yours {_read(question, n, chosen)}" for n in wrong] or ["" for _ in told]
        sentence = _sentence(" and ".join(_lower(c) + r for c, r in zip(clauses, reads, strict=True)))
    features = evidence[told[0]].sharp
    return Explanation(
        sentence,
        FEATURE_TABLE[features[0]].advice,
        _places(question, told, question.written),
        _places(question, told, chosen),
    )


def place_name(pattern: Pattern, index: int) -> str:
    """Where a slot is, in words: ``3``, ``the + of 2``, ``the e of 1 in bar 2``.

    >>> from drillapp.music import parse
    >>> place_name(parse("D- DU -U DU"), 3)
    'the + of 2'
    """
    place = pattern.places[index]
    said = syllables(pattern)
    name = said[index]
    if pattern.meter.is_additive and pattern.meter.denominator >= 8:
        name = f"{name if name.isdigit() else 'the ' + name} of beat {place.beat + 1}"
    elif place.number and not name.isdigit():
        name = f"the {name} of {said[index - place.number]}"
    return name + (f" in bar {place.bar + 1}" if len(pattern.bars) > 1 else "")


def _written(question: PickQuestion, number: int) -> str:
    factor, way = question.factors[number], question.way_written(number)
    if factor.kind == "meter":
        return f"The bar has {way.name}"
    if factor.kind == "swing":
        return "The offbeats swing, long-short" if way.name == "swung" else "The offbeats are even"
    return f"On {place_name(question.base, factor.index)} {_clause(question.written, factor, way, _WRITTEN)}"


def _read(question: PickQuestion, number: int, chosen: Pattern) -> str:
    factor, written = question.factors[number], question.way_written(number)
    way = question.way_read(number, question.candidates.index(chosen))
    assert way is not None  # a candidate was chosen
    if factor.kind == "meter":
        return f"has {way.name}"
    if way.name == "struck" and "rings on" in _clause(question.written, factor, written, _WRITTEN):
        return "strikes it again"
    return _clause(chosen, factor, way, _CHOSEN)


def _clause(pattern: Pattern, factor: Factor, way: Way, words: dict[str, str]) -> str:
    if way.name == "tied on":
        place = next(place for place in pattern.places if place.at == factor.at)
        if place.slot.action == "rest":  # nothing was sounding, so nothing rings on
            return "the hand passes by" if words is _WRITTEN else "lets the hand pass by"
    return words[way.name]


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


def _lower(clause: str) -> str:
    return clause[0].lower() + clause[1:]


def _sentence(words: str) -> str:
    return words[0].upper() + words[1:] + "."
