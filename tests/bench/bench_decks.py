"""How long decks and fresh patterns take. Prints medians; run: python tests/bench/bench_decks.py"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from itertools import combinations
from statistics import median

from drillapp.decks.check import warnings
from drillapp.decks.find import find
from drillapp.decks.load import deck_files, load_decks
from drillapp.decks.write import write_deck
from drillapp.files.resources import shipped
from drillapp.music import FEATURES, difficulty, features_of, fresh


def timed(what: str, work: Callable[[], object], limit: str, times: int = 5) -> None:
    took = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        took.append(time.perf_counter() - start)
    print(f"{what:58} {median(took):7.3f} s   (wanted: {limit})")


def thousand_fresh() -> None:
    pairs = [pair for pair in combinations(FEATURES, 2) if "compound" not in pair]
    for seed in range(1000):
        fresh(pairs[seed % len(pairs)], "4/4", seed % 10 / 10, seed)


def hundred_fresh_of_many_met() -> None:
    met = [fresh(("tie", "mute"), "4/4", 0.4, seed) for seed in range(500)]
    for seed in range(100):
        fresh(("tie", "mute"), "4/4", 0.4, seed, met)


def search() -> None:
    features_of.cache_clear()
    difficulty.cache_clear()
    find(decks, "up", ("tie",), hardness=(0.2, 0.6))


def check() -> None:
    subprocess.run(command, check=True, capture_output=True)


decks, _ = load_decks()
count = sum(len(deck.patterns) for deck in decks)
files = [str(path) for path in deck_files(shipped("decks"))]
command = [sys.executable, "-m", "drillapp", "check", *files]

timed("1,000 fresh patterns with two asked-for features", thousand_fresh, "under 2 s", 3)
timed("100 fresh patterns, none of 500 met ones (these made too)", hundred_fresh_of_many_met, "-", 3)
timed(
    f"`drillapp check` of {count} patterns, the process and all",
    lambda: subprocess.run(command, check=True, capture_output=True),
    "under 1 s",
)
timed(f"load {len(decks)} decks, {count} patterns", load_decks, "-")
timed("warnings of all decks", lambda: warnings(decks), "-")
timed("first search through all decks", search, "-")
timed("write all decks anew", lambda: [write_deck(deck) for deck in decks], "-")
