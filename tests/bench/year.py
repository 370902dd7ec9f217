"""A log of a long practice for the benchmarks: a learner who reads better as the weeks go by.

Conventions: 50 answers a day, a third of them by hand with eight signs each, the others picked with two; the
last day is today, so that what is recent is as full as it would be.
"""

from __future__ import annotations

import random
import time
from pathlib import Path

from drillapp.music import FEATURES
from drillapp.records import Answer, FactorAnswer, open_log
from drillapp.records.lines import seal
from drillapp.records.rows import insert, settle_last, whole

A_DAY = 50
DAY = 86_400.0
WRONG = {"tied on": "struck", "struck": "silent", "silent": "tied on"}


def an_answer(rng: random.Random, learner: str, when: float, share: float) -> Answer:
    """``share``: how much of the whole time has gone by; more signs are open and read right then."""
    opened = FEATURES[: 3 + round(share * (len(FEATURES) - 3))]
    by_hand = rng.random() < 1 / 3
    fresh = rng.random() < 0.4
    beats = [rng.choice(("D-", "DU", "-U", "X-", "D.")) for _ in range(8 if fresh else 4)]
    pattern = "D- " + " ".join(beats[1:4]) + (" | " + " ".join(beats[4:]) if fresh else "")
    candidates = () if by_hand else tuple(pattern.replace("D", one, 1) for one in "DX")
    asked = rng.choice(opened)
    factors = []
    for number in range(8 if by_hand else 2):
        feature = asked if not number else rng.choice(opened)
        right = rng.random() < (0.55 if feature == "tie" else 0.9) - 0.3 * (1 - share) + 0.1
        written = rng.choice(tuple(WRONG))
        read = written if right else WRONG[written]
        guess = 0.0 if by_hand else 0.5
        factors.append(FactorAnswer(f"{number}/2", (feature,), written, read, right, guess, True))
    return Answer(
        learner=learner,
        session=f"session-{int(when // DAY)}",
        utc=when,
        offset=0,
        drill="strum_it" if by_hand else rng.choice(("page_to_sound", "sound_to_page")),
        pattern=pattern,
        meter="4/4",
        tempo=90.0,
        layers=("letters", "counts", "staff"),
        candidates=candidates,
        pick=None if by_hand else 0,
        written=None if by_hand else 0,
        factors=tuple(factors),
        seconds=round(rng.uniform(3, 20), 2),
        heard=(1, 1),
        first_seen=fresh,
        why=rng.choice(("repair", "refresh", "reach", "fresh")),
        asked=(asked,),
        version="0.1.0",
    )


def write_log(path: Path, answers: int, now: float | None = None, seed: int = 1) -> str:
    """Make a log with so many answers of one learner; gives the learner's id."""
    rng = random.Random(seed)
    end = (time.time() if now is None else now) - 4 * 3600
    log = open_log(path)
    learner = log.learners.add("Mira", now=end - answers / A_DAY * DAY).id
    days = -(-answers // A_DAY)
    with log._store.writing() as connection:
        for number in range(answers):
            day, within = divmod(number, A_DAY)
            when = end - (days - 1 - day) * DAY + within * 25.0
            data = whole(an_answer(rng, learner, when, number / answers), log.device, number + 1)
            insert(connection, seal(data), data, here=True)
            settle_last(connection, log.device, when)
    log.settings.set("cautions_read", True)
    log.close()
    return learner
