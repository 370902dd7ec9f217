"""Another question like one that was misread: the same kind and signs, on a page of its own.

It is no part of the drill's plan: it has the number of the question that it follows.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from drillapp.music import Pattern, features_to_ask

from .growth import Size
from .kinds import KINDS, Graded
from .kinds.kind import Base, Turn
from .tasks import Source, Task, met_key, readable

FRESH_PAGES = 6  # pages made before those at hand are looked at
EASY = Size(0.0, bars=99, ways=2, slots=999)  # two candidates: what was misread is asked alone

FreshMaker = Callable[[tuple[str, ...], Pattern, random.Random], Pattern | None]


def misread(graded: Graded, asked: Sequence[str]) -> tuple[str, ...]:
    """The features that an answer misread, those that were ``asked`` first; empty where it misread none."""
    wrong = [one.sharp for one in graded.evidence if not one.correct]
    found = dict.fromkeys(feature for sharp in wrong for feature in sharp)
    return tuple(feature for feature in asked if feature in found) or tuple(found)[:1]


def another_like(
    task: Task[Any],
    features: tuple[str, ...],
    sources: Sequence[Source],
    met: set[str],
    rng: random.Random,
    fresh: FreshMaker | None = None,
) -> Task[Any] | None:
    """A task of the same kind about ``features``, on another page; None where no page can ask for them.

    A page that was never met comes first, then those of ``sources``. It is on the same layers and at the same
    tempo, and shows no sign that the task could not have shown. ``met``: texts that the learner has met, to
    which those that it shows are added.
    """
    kind = KINDS[task.drill]
    wanted = tuple(feature for feature in features if feature not in kind.cannot_ask)
    if not wanted:
        return None
    within = {*features_to_ask(task.pattern), *task.allowed, *task.asked}
    bases = (
        Base(source, source.pattern.at_tempo(task.tempo), task.layers)
        for source in _pages(task, wanted, within, sources, rng, fresh)
    )
    for put in kind.make(Turn(wanted, within, EASY, rng, bases)):
        if met_key(put.pattern) == met_key(task.pattern):
            continue
        first_seen = met_key(put.pattern) not in met
        met.update(met_key(pattern) for pattern in put.shown)
        return replace(
            task,
            pattern=put.pattern,
            tempo=round(float(put.pattern.tempo)),
            layers=put.layers,
            asked=wanted,
            source=put.base.source,
            first_seen=first_seen,
            question=put.question,
            change=None,
        )
    return None


def _pages(
    task: Task[Any],
    wanted: tuple[str, ...],
    within: set[str],
    sources: Sequence[Source],
    rng: random.Random,
    fresh: FreshMaker | None,
) -> Iterator[Source]:
    """Pages to ask on: fresh ones, then those at hand that show the signs; never one with a closed sign."""
    if fresh is not None:
        for _ in range(FRESH_PAGES):
            made = fresh(wanted, task.source.pattern, rng)
            if made is not None and features_to_ask(made) <= within:
                yield Source(made)
    others = [source for source in sources if met_key(source.pattern) != met_key(task.source.pattern)]
    rng.shuffle(others)
    for source in others:
        if features_to_ask(source.pattern) <= within and set(wanted) <= readable(source.pattern, task.layers):
            yield source
