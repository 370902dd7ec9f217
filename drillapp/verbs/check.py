"""`drillapp check`: every fault of every deck file, at its place, and what to look at again."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

NAME = "check"
SUMMARY = "name every fault of deck files, with file, line and column"
EXAMPLE = "drillapp check my-decks/*.toml"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("decks", nargs="+", type=Path, metavar="DECK", help="a deck file (.toml)")


def run(options: argparse.Namespace) -> int:
    from drillapp.decks.check import warnings
    from drillapp.decks.load import load_files
    from drillapp.music.course import place_of

    decks, faults = load_files(options.decks)
    # In the order of the course, so that of two like patterns the later one is named.
    doubts = warnings(sorted(decks, key=lambda deck: place_of(deck.name)))
    given = [str(path) for path in options.decks]
    for fault in sorted((*faults, *doubts), key=lambda fault: (given.index(fault.file), fault.line)):
        print(fault)
    patterns = sum(len(deck.patterns) for deck in decks)
    count = f"{len(decks)} of {len(options.decks)} decks can be used, with {patterns} patterns"
    for number, what in ((len(faults), "fault"), (len(doubts), "warning")):
        count += f", {number} {what}{'s' * (number != 1)}" if number else ""
    print(count, file=sys.stderr)
    return 1 if faults else 0
