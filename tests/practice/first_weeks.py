"""First weeks of four kinds of new learner through the app's practice, without a window.

Conventions: seconds. A question that shows a sign with its lesson still to come comes after that lesson, as
in the app. Run as a program it goes through as many first weeks as it is told and prints what it found:

    PYTHONPATH=.:tests/practice python tests/practice/first_weeks.py 500
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from weeks import DAY, START, Reader, answer

from drillapp.decks.load import load_decks
from drillapp.drills import PickQuestion
from drillapp.drills.kinds import KINDS
from drillapp.drills.lessons import to_meet
from drillapp.learning.simulation.learners import FAMILIES
from drillapp.music import FEATURES, LAYERS, features_to_ask
from drillapp.practice.practice import Practice
from drillapp.records import open_log

KINDS_OF_LEARNER = ("knows nothing", "knows letters", "misreads ties", "reads all")
LETTERS = ("beat", "offbeat", "skip", "mute", "accent")
ALL_DRILLS = tuple(KINDS)


@dataclass
class Newcomer(Reader):
    """Reads what it knows from before, learns the rest from its lesson on; ``known`` may be nothing."""

    known: frozenset[str] = frozenset()
    misread: frozenset[str] = frozenset()

    @classmethod
    def of(cls, kind: str, number: int) -> Newcomer:
        rng = random.Random(7000 + number)
        truth = FAMILIES[number % len(FAMILIES)](FEATURES, rng)
        known = {
            "knows nothing": (),
            "knows letters": LETTERS,
            "misreads ties": FEATURES,
            "reads all": FEATURES,
        }[kind]
        misread = frozenset({"tie"}) if kind == "misreads ties" else frozenset()
        return cls(truth, rng, START, frozenset(known) - misread, misread)

    def reads(self, features: tuple[str, ...], now: float) -> bool:
        if self.misread.intersection(features):
            return False
        if self.known.issuperset(features):
            return self.rng.random() < 0.97
        return super().reads(features, now)


@dataclass
class Week:
    """What came of a first week: the day (from 1) on which each sign was first met, and what was wrong."""

    questions: int = 0
    met_on: dict[str, int] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    lessons: int = 0
    first: Any = None


@cache
def shelf() -> Any:
    decks, faults = load_decks()
    assert not faults
    return decks


def first_week(
    folder: Path, kind: str, number: int, placing: bool = True, sound: bool = True, minutes: int = 2
) -> Week:
    """Seven drills of a new learner; what no question may do is looked for in each of them."""
    clock, reader, week = [START], Newcomer.of(kind, number), Week()
    held = Practice(open_log(folder / "practice.db"), shelf(), (), lambda: clock[0], number)
    rng = random.Random(number)
    held.change("drills", tuple(sorted(rng.sample(ALL_DRILLS, rng.randint(1, 4)), key=ALL_DRILLS.index)))
    shown = rng.sample(LAYERS, rng.randint(1, 3))
    held.change("layers", tuple(layer for layer in LAYERS if layer in shown))
    held.change("minutes", minutes)
    held.hears(sound)
    if placing and reader.known:
        place(held, reader, clock, week)
    for day in range(7):
        clock[0] = max(START + day * DAY, clock[0])
        sitting = held.start()
        while (task := sitting.next()) is not None:
            if week.first is None:
                week.first = task
            week.faults += look_at(held, task, week, day + 1)
            sitting.prepare()
            answer(sitting, task, reader, clock[0])
            week.questions += 1
            clock[0] += 40
    held.log.close()
    return week


def place(held: Practice, reader: Newcomer, clock: list[float], week: Week) -> None:
    """The placing check, to its end."""
    sitting = held.start_placing()
    while (task := sitting.next()) is not None:
        answer(sitting, task, reader, clock[0])
        clock[0] += 10
    held.take_place(sitting)
    week.met_on.update(dict.fromkeys(held.met_signs(), 1))


def look_at(held: Practice, task: Any, week: Week, day: int) -> Iterator[str]:
    """What is wrong with a question; the signs that it opens are then met, each by its lesson."""
    pages = KINDS[task.drill].pages(task)
    before = set(held.met_signs())
    unmet = to_meet(pages, task.layers, before, task.asked)
    shown = frozenset().union(*(features_to_ask(page) for page in (*pages, task.pattern)))
    hidden = shown - before - set(unmet)  # on no layer that is shown: nothing is to be read of it
    first_two = set(unmet) <= {"beat", "skip"}
    if len(unmet) > 1 and not first_two:
        yield f"{task.drill} {task.pattern.text} opens {unmet} at once"
    if unmet and not first_two and task.asked != unmet:
        yield f"{task.drill} {task.pattern.text} asks {task.asked} where {unmet} opens"
    if hidden - {"beat", "skip"}:
        yield f"{task.drill} {task.pattern.text} holds {sorted(hidden)}, which is not open"
    if unmet:
        candidates = len(task.question.candidates) if isinstance(task.question, PickQuestion) else 0
        own = float(task.pattern.tempo)
        if len(task.pattern.bars) > 1 or candidates > 2 or task.tempo > 72 or own < 40:
            yield f"{task.drill} {task.pattern.text} at {task.tempo} in {candidates} ways opens {unmet}"
    if task.drill == "write_it_down" and len(before) < 3:
        yield f"writes {task.pattern.text} with {sorted(before)} open"
    if not held.hears() and KINDS[task.drill].needs_ear:
        yield f"{task.drill} needs the ear"
    held.meet(*unmet)
    week.lessons += len(unmet)
    week.met_on.update(dict.fromkeys(unmet, day))


def weeks(count: int, placing: bool = True) -> Iterator[tuple[str, Week]]:
    """So many first weeks, the four kinds of learner in turn."""
    for number in range(count):
        kind = KINDS_OF_LEARNER[number % 4]
        with tempfile.TemporaryDirectory() as folder:
            yield kind, first_week(Path(folder), kind, number, placing)


if __name__ == "__main__":
    asked, faults = 0, []
    reached: dict[str, list[int]] = {}
    for kind, week in weeks(int(sys.argv[1]), "--no-placing" not in sys.argv):
        asked += week.questions
        faults += week.faults
        reached.setdefault(kind, []).append(week.met_on.get("sixteenth", 99))
    print(f"{asked} questions, {len(faults)} faults", *faults[:20], sep="\n")
    for kind, on in reached.items():
        in_week = [day for day in on if day <= 7]
        print(f"{kind}: sixteenths met in {len(in_week)} of {len(on)} weeks, first on day {min(on)}")
