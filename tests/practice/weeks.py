"""Weeks of drills of simulated learners through the app's practice, without a window.

Conventions: seconds; a learner's truth is one of `drillapp.learning.simulation.learners`, about signs that
the app's memory knows nothing of beforehand.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from drillapp.decks.load import load_decks
from drillapp.drills import PickQuestion
from drillapp.drills.dictation import blank
from drillapp.drills.kinds import Performance
from drillapp.drills.strum.grade import Hit
from drillapp.learning.simulation.learners import FAMILIES, Learner
from drillapp.music import FEATURES
from drillapp.practice.practice import Practice
from drillapp.records import open_log

START = 1_790_000_000.0
DAY = 86_400.0


@dataclass
class Drill:
    """One day's drill: the lines that Today showed, and under which line each question came."""

    promised: Counter[tuple[str, str]]
    given: Counter[tuple[str, str]] = field(default_factory=Counter)
    order: list[tuple[str, str]] = field(default_factory=list)
    changes: list[Any] = field(default_factory=list)
    tasks: list[Any] = field(default_factory=list)


@dataclass
class Reader:
    """A simulated learner at the app: reads each sign as its truth says, and guesses where it does not."""

    truth: Learner
    rng: random.Random
    begin: float = START

    @classmethod
    def drawn(cls, number: int) -> Reader:
        rng = random.Random(1000 + number)
        return cls(FAMILIES[number % len(FAMILIES)](FEATURES, rng), rng)

    def reads(self, features: tuple[str, ...], now: float) -> bool:
        """Whether a place with these signs is read, which is then learned from."""
        right = self.rng.random() < min(self.truth.chance(feature, now) for feature in features)
        for feature in features:
            self.truth.practise(feature, now, float(right))
        return right

    def pick(self, question: PickQuestion, now: float) -> int:
        choice = list(question.choices[question.answer])
        for number, one in enumerate(question.grade(question.answer)):
            if not self.reads(one.sharp, now - self.begin):
                choice[number] = self.rng.randrange(len(question.factors[number].ways))
        return question.choices.index(tuple(choice))

    def accuracy(self, now: float) -> float:
        """The mean true chance over all signs."""
        return sum(self.truth.chance(feature, now - self.begin) for feature in FEATURES) / len(FEATURES)


def opened(folder: Path, clock: list[float], drills: tuple[str, ...], seed: int = 3) -> Practice:
    decks, faults = load_decks()
    assert not faults
    held = Practice(open_log(folder / "practice.db"), decks, faults, lambda: clock[0], seed)
    held.change("drills", drills)
    return held


def line_of(task: Any) -> tuple[str, str]:
    """The line of Today that a question stands under."""
    return ("fresh", "fresh") if task.why == "fresh" else (task.asked[0], task.why)


def answer(sitting: Any, task: Any, reader: Reader, now: float) -> None:
    if isinstance(task.question, PickQuestion):
        sitting.answer(task, reader.pick(task.question, now), 20.0, (1,) * len(task.question.candidates))
    elif not reader.reads(task.asked, now - reader.begin):
        sitting.answer(task, None, 15.0)
    elif task.drill == "strum_it":
        hits = tuple(
            Hit(task.pattern.seconds(s.at), s.hand, s.muted, 0.8 if s.accent else 0.5)
            for s in task.pattern.strokes
        )
        if not sitting.answer(task, Performance(hits), 15.0).kept:
            sitting.answer(task, None, 15.0)
    else:
        sheet = blank(task.pattern)
        for place in sheet.ruler.places:
            way = {"ring": "tied on", "rest": "silent"}.get(place.slot.action, "struck")
            sheet = sheet.filled(place.index, way)
        sitting.answer(task, sheet, 15.0, (1,))


def days(held: Practice, clock: list[float], reader: Reader, count: int) -> Iterator[Drill]:
    """One drill a day; the clock stands at the next day's start after each."""
    for day in range(count):
        clock[0] = START + day * DAY
        drill = Drill(Counter({(line.feature, line.why): line.count for line in held.today().lines}))
        sitting = held.start()
        while (task := sitting.next()) is not None:
            drill.order.append(line_of(task))
            drill.tasks.append(task)
            if (change := getattr(task, "change", None)) is not None:
                drill.changes.append(change)
            answer(sitting, task, reader, clock[0])
            clock[0] += 40
            if not sitting.over:
                sitting.prepare()
        drill.given.update(drill.order)
        yield drill
    clock[0] = START + count * DAY
