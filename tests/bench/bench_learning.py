"""Speed of the memory and the planner: best of many short runs, so that other work shows least.

Run: python tests/bench/bench_learning.py
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable

from drillapp.learning import Memory, Planner, diagnose
from drillapp.learning.diagnosis import Evidences

FEATURES = tuple(f"sign {number}" for number in range(13))


def best(work: Callable[[], object], repeats: int = 200) -> float:
    """Seconds of the quickest run."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


class Read:
    """One answer, as diagnose wants it."""

    def __init__(self, feature: str, correct: bool) -> None:
        self.features, self.correct, self.guess = (feature,), correct, 0.5


def main() -> None:
    rng = random.Random(1)
    answers = [(rng.choice(FEATURES), rng.random() < 0.8, number * 15.0) for number in range(100_000)]
    memory = Memory(FEATURES)
    start = time.process_time()
    for feature, right, now in answers:
        memory.observe((feature,), right, now)
    print(f"rebuild from 100,000 answers: {time.process_time() - start:.2f} s of processor time")

    now = answers[-1][2]
    batch = answers[:100]

    def observe() -> None:
        for number, (feature, right, _) in enumerate(batch):
            memory.observe((feature,), right, now + number * 15.0)

    def predict() -> None:
        for number, (feature, _, _) in enumerate(batch):
            memory.predict((feature,), now + number * 15.0 + 5000.0)

    print(
        f"observe: {best(observe) / len(batch) * 1e6:.1f} us, "
        f"predict: {best(predict) / len(batch) * 1e6:.1f} us"
    )
    planner = Planner(FEATURES, memory=memory)
    print(f"next, 100,000 answers behind: {best(lambda: planner.next(now + 50000.0), 50) * 1e3:.2f} ms")
    print(f"plan of 40 questions: {best(lambda: planner.plan(now + 50000.0, 40), 10) * 1e3:.2f} ms")
    table = Evidences(FEATURES)
    reads = [Read(feature, right) for feature, right, _ in answers[:1200]]
    for read in reads:
        table.add(read)
    print(
        f"judge: {best(table.judge, 50) * 1e3:.2f} ms, "
        f"diagnose 1,200 reads: {best(lambda: diagnose(reads), 20) * 1e3:.2f} ms"
    )


if __name__ == "__main__":
    main()
