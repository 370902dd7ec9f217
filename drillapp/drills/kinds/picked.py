"""What Page to sound and Sound to page share: candidates, of which one is picked."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

from drillapp.drills.explain import Explanation, explain
from drillapp.drills.pick import NoQuestion, PickQuestion, pick_question
from drillapp.drills.slot_evidence import SignRead
from drillapp.drills.tasks import Task

from .kind import Graded, Put, Recorded, Turn

SHORT, LONG = 0.6, 0.85  # expected accuracy below which two candidates, above which four


@dataclass(frozen=True)
class Picked:
    """The candidate that was picked (None: Not sure) and what is said of it."""

    index: int | None
    explanation: Explanation


def sets(turn: Turn) -> Iterator[Put[PickQuestion]]:
    """Sets of candidates on each of the turn's patterns, of the size wanted or else of two."""
    want = _size(turn.expected, turn.rng)
    for base in turn.bases:
        for size in dict.fromkeys((want, 2)):
            try:
                question = pick_question(
                    base.pattern, turn.features, base.layers, turn.rng, size, turn.within
                )
            except NoQuestion:
                continue
            yield Put(base, question.written, question.layers, question.candidates, question)


def grade_pick(task: Task[PickQuestion], index: int | None, tempo: float) -> Graded:
    """What picking candidate ``index`` came to. Raises IndexError where there is no such candidate."""
    question = task.question
    evidence = question.grade(index)
    signs = []
    for number, (factor, one) in enumerate(zip(question.factors, evidence, strict=True)):
        read = question.way_read(number, index)
        way = None if read is None else read.name
        signs.append(SignRead(factor.at, question.way_written(number).name, way, one))
    return Graded(
        index == question.answer,
        tuple(signs),
        Picked(index, explain(question, index, evidence)),
        Recorded(tuple(one.text for one in question.candidates), index, question.answer),
    )


def _size(expected: float, rng: random.Random) -> int:
    """Candidates: few while signs are misread (quick, and little to confuse), four when they hold."""
    if expected < SHORT:
        return 2
    return 4 if expected >= LONG else rng.choice((2, 3, 4))
