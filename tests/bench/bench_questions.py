"""How long the next question takes to be ready: planned, built, engraved, rendered. Prints medians.

python tests/bench/bench_questions.py [--quick]
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from pathlib import Path

from drillapp.decks.load import load_decks
from drillapp.notation import engrave
from drillapp.practice.practice import Practice
from drillapp.records import open_log
from drillapp.sound import render


def main() -> None:
    sittings = 1 if "--quick" in sys.argv else 6
    now = [1_790_000_000.0]
    decks, faults = load_decks()
    with tempfile.TemporaryDirectory() as folder:
        log = open_log(Path(folder) / "practice.db")
        held = Practice(log, decks, faults, lambda: now[0], seed=5)
        held.change("drills", ("page_to_sound", "sound_to_page"))
        made, drawn, sounded, answered = [], [], [], []
        for _ in range(sittings):
            sitting = held.start()
            while True:
                start = time.perf_counter()
                task = sitting.next()
                made.append(time.perf_counter() - start)
                if task is None:
                    break
                start = time.perf_counter()
                for one in task.question.candidates:
                    engrave(one, task.layers)
                drawn.append(time.perf_counter() - start)
                start = time.perf_counter()
                for one in task.question.candidates:
                    render(one, tempo=task.tempo, chord=task.chord)
                sounded.append(time.perf_counter() - start)
                start = time.perf_counter()
                right = task.question.answer
                sitting.answer(task, right, 20.0, (1,) * len(task.question.candidates))
                answered.append(time.perf_counter() - start)
                now[0] += 40
            now[0] += 86_400
        log.close()
    rows = [
        ("planned and built", made),
        ("engraved", drawn),
        ("rendered", sounded),
        ("graded and on disk", answered),
    ]
    for name, values in rows:
        ordered = sorted(values)
        print(
            f"{name:20} median {1000 * statistics.median(values):7.1f} ms"
            f"   nine in ten under {1000 * ordered[int(0.9 * len(ordered))]:7.1f} ms   ({len(values)})"
        )
    ready = [sum(parts) for parts in zip(made, drawn, sounded, strict=False)]
    print(f"{'next question ready':20} median {1000 * statistics.median(ready):7.1f} ms")


if __name__ == "__main__":
    main()
