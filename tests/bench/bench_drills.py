"""Grading speed: ``python tests/bench/bench_drills.py``. Prints medians of processor time."""

from __future__ import annotations

import random
import statistics
import time
from collections.abc import Callable

from drillapp.drills.dictation import blank, grade_dictation
from drillapp.drills.strum.grade import Hit, grade_strum
from drillapp.music import Pattern, parse
from drillapp.music.slot_sheet import CYCLE

SIXTEENTHS = " | ".join(["D-DU X-DU D-DU >X-DU | DUDU X-DU -UDU DUXU"] * 2)
EIGHT_BARS = " | ".join(["D- DU -U DU"] * 8)
TEMPO = 90


def median_ms(call: Callable[[], object], times: int = 40) -> float:
    call()
    taken = []
    for _ in range(times):
        start = time.process_time()
        call()
        taken.append(time.process_time() - start)
    return statistics.median(taken) * 1000


def a_take(pattern: Pattern, rng: random.Random, slower: float = 1.0, mistakes: float = 0.05) -> list[Hit]:
    """A performance with noise of 20 ms, a lead of 30 ms, some strokes left out or struck down for up."""
    hits = []
    for place in pattern.places:
        if place.struck and rng.random() >= mistakes / 2:
            hand = place.slot.hand if rng.random() >= mistakes / 2 else "down"
            at = pattern.seconds(place.at) * slower - 0.03 + rng.gauss(0, 0.02)
            hits.append(Hit(at, hand or "down", place.slot.muted, 0.8 if place.slot.accent else 0.5))
    return hits


def main() -> None:
    rng = random.Random(1)
    page = parse(SIXTEENTHS, tempo=TEMPO)
    hits = a_take(page, rng)
    start = time.perf_counter()
    grade_strum(page, TEMPO, hits)
    print(
        f"first strummed page, nothing cached   {(time.perf_counter() - start) * 1000:7.2f} ms  (target 100)"
    )

    def strum(pattern: Pattern, **how: float) -> float:
        takes = [a_take(pattern, rng, **how) for _ in range(40)]
        return median_ms(lambda: grade_strum(pattern, TEMPO, takes[rng.randrange(len(takes))]))

    print(f"strum, 4 bars of 16ths, {len(page.places)} slots      {strum(page):7.2f} ms  (target 5)")
    print(f"strum, 8 bars of 8ths                 {strum(parse(EIGHT_BARS, tempo=TEMPO)):7.2f} ms")
    print(f"strum, swung, 4 bars of 8ths          {strum(parse(EIGHT_BARS, tempo=TEMPO, swing=2)):7.2f} ms")
    print(f"strum, 4 bars of 16ths in half time   {strum(page, slower=2.0):7.2f} ms  (target 100)")
    many = [Hit(n / 100, "down") for n in range(200)]
    print(
        f"200 strokes in two seconds            {median_ms(lambda: grade_strum(page, TEMPO, many)):7.2f} ms"
    )
    sheet = blank(page)
    for slot in range(len(sheet.slots)):
        sheet = sheet.filled(slot, rng.choice(CYCLE))
    print(f"dictation, 4 bars of 16ths            {median_ms(lambda: grade_dictation(page, sheet)):7.2f} ms")


if __name__ == "__main__":
    main()
