"""`drillapp check`: every fault of every deck file, at its place."""

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
    from drillapp.decks import load_files

    decks, faults = load_files(options.decks)
    for fault in faults:
        print(fault)
    patterns = sum(len(deck.patterns) for deck in decks)
    count = f"{len(decks)} of {len(options.decks)} decks can be used, with {patterns} patterns"
    print(f"{count}; {len(faults)} faults" if faults else count, file=sys.stderr)
    return 1 if faults else 0
