"""What Page to sound and Sound to page share: candidates, of which one is picked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from drillapp.drills.explain import Explanation, explain
from drillapp.drills.pick import SIZES, NoQuestion, PickQuestion, pick_question
from drillapp.drills.slot_evidence import SignRead
from drillapp.drills.tasks import Task
from drillapp.music import features_to_ask

from .kind import Graded, Put, Recorded, Turn


@dataclass(frozen=True)
class Picked:
    """The candidate that was picked (None: Not sure) and what is said of it."""

    index: int | None
    explanation: Explanation


def sets(turn: Turn) -> Iterator[Put[PickQuestion]]:
    """Sets of candidates on each of the turn's patterns, of the size wanted or else of two.

    No candidate holds a sign that a page may not show, also where two ways together make one.
    """
    want = turn.rng.choice([size for size in SIZES if size <= turn.size.ways])
    for base in turn.bases:
        for size in dict.fromkeys((want, 2)):
            try:
                question = pick_question(
                    base.pattern, turn.features, base.layers, turn.rng, size, turn.within
                )
            except NoQuestion:
                continue
            if any(not features_to_ask(one) <= turn.within for one in question.candidates):
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
