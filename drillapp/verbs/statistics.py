"""`drillapp statistics`: how fresh patterns compare with those of the decks, in numbers."""

from __future__ import annotations

import argparse
from pathlib import Path

NAME = "statistics"
SUMMARY = "compare fresh patterns with those of decks, habit by habit"
EXAMPLE = "drillapp statistics --seed 3"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "decks", nargs="*", type=Path, metavar="DECK", help="deck files (those that ship with the app)"
    )
    parser.add_argument(
        "--fit",
        type=Path,
        metavar="FILE",
        help="write the habits of these decks as the module that fresh reads",
    )
    parser.add_argument("--seed", type=int, default=0, metavar="N", help="make other fresh patterns (0)")


def run(options: argparse.Namespace) -> int:
    from drillapp.decks.load import deck_files, load_files
    from drillapp.files.resources import shipped
    from drillapp.files.writing import write_whole
    from drillapp.music.fresh.fit import counted
    from drillapp.music.fresh.statistics import by_slot, counterparts, table
    from drillapp.verbs.arguments import InputFault

    decks, faults = load_files(options.decks or deck_files(shipped("decks")))
    if faults:
        raise InputFault("these decks cannot be used\n" + "\n".join(map(str, faults)))
    written = [pattern.pattern for deck in decks for pattern in deck.patterns]
    if options.fit:
        write_whole(options.fit, counted(written).encode())
        return 0
    made = counterparts(written, options.seed)
    print(f"{len(written)} patterns of {len(decks)} decks and {len(made)} fresh ones of the same signs,")
    print("meters and difficulties; apart: in standard deviations of the decks.\n")
    print(f"{'':28}{'decks':>8}{'fresh':>8}{'apart':>8}")
    for name, ours, theirs, apart in table(written, made):
        print(f"{name:28}{ours:8.3f}{theirs:8.3f}{apart:+8.2f}")
    print("\nHow often each place of a bar is struck")
    for meter, of in (("4/4", 2), ("4/4", 4), ("3/4", 2), ("6/8", 3)):
        for kind, patterns in (("decks", written), ("fresh", made)):
            shares = " ".join(f"{share:.2f}" for share in by_slot(patterns, meter, of))
            print(f"{meter:>5} in {of}  {kind}  {shares}")
    return 0
