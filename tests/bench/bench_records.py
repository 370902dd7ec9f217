"""Speed of the practice log: one append, and everything that is read with 100,000 answers behind.

Run: python tests/bench/bench_records.py [answers]. Prints medians; the log is made in a temporary folder.
"""

from __future__ import annotations

import random
import resource
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from drillapp.records import Answer, FactorAnswer, open_log
from drillapp.records.lines import seal
from drillapp.records.rows import insert, whole

FEATURES = ("beat", "offbeat", "skip", "tie", "rest", "mute", "accent", "sixteenth")
START = 1_700_000_000.0


def an_answer(rng: random.Random, learner: str, number: int) -> Answer:
    """An answer like those of a daily drill: 100 a day, about 280 deck patterns and a third fresh ones."""
    fresh = rng.random() < 0.33
    beats = [rng.choice(("D-", "DU", "-U", "X-", "D.")) for _ in range(8 if fresh else 4)]
    pattern = " ".join(beats[:4]) + (" | " + " ".join(beats[4:]) if fresh else "")
    return Answer(
        learner=learner,
        session=f"session-{number // 100}",
        utc=START + (number // 100) * 86_400 + (number % 100) * 6.0,
        offset=120,
        drill=rng.choice(("page to sound", "sound to page")),
        pattern=pattern,
        meter="4/4",
        tempo=90,
        layers=("letters", "counts", "staff"),
        candidates=tuple(pattern.replace("D", letter, 1) for letter in "DUX-"),
        pick=rng.randrange(4),
        written=0,
        factors=tuple(
            FactorAnswer("3/2", (rng.choice(FEATURES),), "struck", "tied on", rng.random() < 0.8, 0.5, True)
            for _ in range(2)
        ),
        seconds=round(rng.uniform(2, 12), 3),
        heard=(1, 2, 1, 1),
        first_seen=fresh,
        why=rng.choice(("repair", "refresh", "reach", "fresh")),
        asked=(rng.choice(FEATURES),),
        version="0.1.0",
    )


def timed(what: str, work: Callable[[], object], times: int = 3) -> None:
    """Print the medians of the time that passed and of this process's own share of it."""
    spans, own = [], []
    for _ in range(times):
        start, start_own = time.perf_counter(), time.process_time()
        work()
        spans.append(time.perf_counter() - start)
        own.append(time.process_time() - start_own)
    wall, share = statistics.median(spans) * 1000, statistics.median(own) * 1000
    print(f"{what:50} {wall:10.2f} ms  (own {share:10.2f} ms)")


def main(count: int) -> None:
    rng = random.Random(1)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "practice.sqlite"
        log = open_log(path)
        learner = log.learners.add("Ana", now=START).id
        with log._store.writing() as connection:
            for number in range(count):
                data = whole(an_answer(rng, learner, number), log.device, number + 1)
                insert(connection, seal(data), data, here=True)
        log.close()
        print(f"{count:,} answers, {path.stat().st_size / 2**20:.0f} MB")
        timed("open and close, with its checks", lambda: open_log(path).close())
        log = open_log(path)
        fresh = iter([an_answer(rng, learner, count + number) for number in range(200)])
        timed("append (flushed to disk)", lambda: log.append(next(fresh)), 100)
        day = START + (count // 100) * 86_400
        timed("met", lambda: log.met(learner))
        timed("met, with the candidates shown", lambda: log.met(learner, shown=True))
        timed("days", lambda: log.days(learner))
        timed("last learner", log.learners.last, 20)
        timed("unfinished session", lambda: log.sessions.unfinished(learner), 20)
        timed("observations of the last 30 days", lambda: log.observations(learner, day - 30 * 86_400))
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        timed("observations, all", lambda: log.observations(learner))
        after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        print(f"{'  peak memory more than before':55} {(after - before) / 1024:10.2f} MB")
        timed("answers, all", lambda: log.answers(learner))
        back = an_answer(rng, learner, 0)
        timed(
            "append with the clock set back to the first day",
            lambda: log.append(replace(back, id=str(rng.random()))),
        )
        handed = Path(folder) / "ana.handin"
        timed("hand in", lambda: log.hand_in(handed, learner), 1)
        print(f"{'  file':55} {handed.stat().st_size / 2**20:10.2f} MB")
        with open_log(Path(folder) / "teacher.sqlite") as teacher:
            timed("collect, all new", lambda: teacher.collect(handed), 1)
            timed("collect, all known", lambda: teacher.collect(handed), 1)
        log.close()
        data = bytearray(path.read_bytes())
        data[len(data) // 2 : len(data) // 2 + 4096] = b"\xff" * 4096
        path.write_bytes(data)
        timed("open damaged, rows saved into a new log", lambda: open_log(path).close(), 1)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
