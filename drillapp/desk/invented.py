"""An invented class: students who are nobody, with planted weaknesses, by answers as the drills record them.

Conventions: everything follows from the seed and the time; a planted sign is read right WEAK of the time
without guessing, all others SOUND. Half of the pages were met before, and are read a little better.
"""

from __future__ import annotations

import random
import uuid
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from itertools import product
from pathlib import Path

from drillapp.drills import NoQuestion, pick_question
from drillapp.drills.kinds import KINDS, USUAL, can_ask
from drillapp.drills.pick import PickQuestion
from drillapp.music import FEATURES, parse, signs
from drillapp.records import Answer, FactorAnswer, PracticeLog, SchoolClass
from drillapp.records.made import hand_in_of

from .collecting import ENDINGS

CLASS = "Invented class"
SOUND, WEAK, MET = 0.94, 0.40, 0.03
DAY = 86_400.0
PICKED, BY_HAND = USUAL, tuple(kind for kind in KINDS.values() if not kind.needs_ear)
LAYERS = ("letters", "counts", "staff")
PLANTED: Mapping[str, tuple[str, ...]] = {
    "Alva": ("tie",),
    "Benno": ("tie", "rest"),
    "Carla": ("tie",),
    "Dov": (),
    "Edda": ("tie", "mute"),
    "Finn": ("tie",),
    "Gesa": (),
    "Hanno": ("tie", "accent"),
}
PAGES = (
    "D D D D",
    "D- DU -U DU",
    "D- DU DU DU",
    "DU DU -U DU",
    "D- XU -U XU",
    "D- DU .U DU",
    "D. DU D. DU",
    ">D- DU >D- DU",
    "D- >DU -U >DU",
    "XU DU XU DU",
    "D- D- -U DU",
    "DU .U DU -U",
)


@dataclass(frozen=True)
class Invented:
    """One student who is nobody."""

    id: str
    name: str
    weak: tuple[str, ...]
    answers: tuple[Answer, ...]


def invented_class(
    now: float,
    seed: int = 7,
    planted: Mapping[str, Sequence[str]] = PLANTED,
    days: int = 28,
    a_day: int = 24,
) -> Iterator[Invented]:
    """The students, one after another, with some four weeks of answers up to ``now`` (UTC seconds)."""
    rng = random.Random(seed)
    for name, weak in planted.items():
        key = _id(rng)
        answers = []
        for day in range(days):
            if rng.random() < 0.3:
                continue
            start = now - (days - day) * DAY + rng.random() * 0.2 * DAY
            session = _id(rng)
            for number in range(a_day):
                answers.append(_answer(rng, key, session, start + 28.0 * number, weak))
        yield Invented(key, name, tuple(weak), tuple(answers))


def write_class(folder: Path, now: float, seed: int = 7, **how: object) -> tuple[Path, ...]:
    """Write what an invented class hands in: a file a student."""
    rng = random.Random(seed + 1)
    paths = []
    for number, one in enumerate(invented_class(now, seed, **how), 1):  # type: ignore[arg-type]
        path = folder / f"{number:02}-{one.name}{ENDINGS[0]}"
        hand_in_of(path, _id(rng), one.id, one.name, one.answers)
        paths.append(path)
    return tuple(paths)


def fill(log: PracticeLog, folder: Path, now: float) -> SchoolClass:
    """Put the invented class into a log that is a scratch copy; ``folder``: for its files."""
    made = log.classes.add(CLASS, now)
    log.classes.add_students(PLANTED, made.id)
    for path in write_class(folder, now):
        log.collect(path)
    log.classes.students()
    return made


def _answer(rng: random.Random, learner: str, session: str, utc: float, weak: Sequence[str]) -> Answer:
    pool = _pool()
    asked = rng.choice(tuple(pool))
    which = rng.choice(range(len(pool[asked])))
    question = pool[asked][which]
    met, hand = rng.random() < 0.5, rng.random() < 0.25
    reads = []
    for number, factor in enumerate(question.factors):
        chance = WEAK if set(weak) & set(_asked(asked, which, number)) else SOUND
        mine = question.choices[question.answer][number]
        knows = rng.random() < chance + MET * met
        ways = [way for way in range(len(factor.ways)) if way != mine or not hand]
        reads.append(mine if knows or not ways else rng.choice(ways))
    index = question.choices.index(tuple(reads))
    taken = {"lead": rng.gauss(0.01, 0.006), "steadiness": abs(rng.gauss(0.025, 0.008)), "slots": []}
    return Answer(
        id=_id(rng),
        learner=learner,
        session=session,
        utc=utc,
        offset=0,
        drill=rng.choice(BY_HAND if hand else PICKED).name,
        pattern=question.written.text,
        meter="4/4",
        tempo=84,
        layers=LAYERS,
        candidates=() if hand else _candidates(asked, which),
        pick=None if hand else index,
        written=None if hand else question.answer,
        factors=_factors(asked, which, index, hand),
        seconds=round(rng.uniform(6.0, 20.0), 1),
        heard=() if hand else (1,) * len(question.candidates),
        first_seen=not met,
        why="repair",
        asked=(asked,),
        extra=taken if hand else {},
    )


@cache
def _pool() -> Mapping[str, tuple[PickQuestion, ...]]:
    """Questions by the sign that they ask, always the same."""
    rng = random.Random(1)
    shown = {sign.feature for text in PAGES for sign in signs(parse(text), LAYERS)}
    asked = [sign for sign in FEATURES if sign in shown and can_ask(BY_HAND) >= {sign}]
    found: dict[str, list[PickQuestion]] = {sign: [] for sign in asked}
    for sign, text in product(asked, PAGES):
        with suppress(NoQuestion):
            found[sign].append(pick_question(parse(text), (sign,), LAYERS, rng, size=rng.choice((2, 3))))
    return {sign: tuple(questions) for sign, questions in found.items()}


# What grading gives is the same each time a question comes, and takes longer than all the rest.


@cache
def _asked(asked: str, which: int, number: int) -> tuple[str, ...]:
    return _pool()[asked][which].features(number)[:1]


@cache
def _candidates(asked: str, which: int) -> tuple[str, ...]:
    return tuple(one.text for one in _pool()[asked][which].candidates)


@cache
def _factors(asked: str, which: int, index: int, hand: bool) -> tuple[FactorAnswer, ...]:
    question = _pool()[asked][which]
    return tuple(
        FactorAnswer(
            str(factor.at),
            one.sharp,
            question.way_written(number).name,
            getattr(question.way_read(number, index), "name", None),
            one.correct,
            0.0 if hand else one.guess,
            one.present,
        )
        for number, (factor, one) in enumerate(zip(question.factors, question.grade(index), strict=True))
    )


def _id(rng: random.Random) -> str:
    return uuid.UUID(int=rng.getrandbits(128), version=4).hex
