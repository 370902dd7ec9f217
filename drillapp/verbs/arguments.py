"""What verbs share: the fault that ends one, the arguments of a pattern, writing a file."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from drillapp.files.writing import write_whole
from drillapp.music import Pattern, PatternError, parse

if TYPE_CHECKING:
    from drillapp.decks.deck import Deck
    from drillapp.records import PracticeLog

LOG_FILE = "practice.sqlite"


class InputFault(Exception):
    """What was given cannot be used; the message says what is wrong and what would be right."""


def add_pattern_arguments(parser: argparse.ArgumentParser) -> None:
    """Meter, tempo and swing of a pattern given as text."""
    parser.add_argument("--meter", default="4/4", help="such as 3/4, 6/8 or 2+2+3/8 (4/4 where not given)")
    parser.add_argument("--tempo", type=number, default=90, metavar="N", help="beats a minute (90)")
    parser.add_argument("--swing", metavar="LONG:SHORT", help="written even, played long-short, such as 2:1")


def number(text: str) -> float:
    """An argument that is a number; whole numbers stay whole."""
    value = float(text)
    return int(value) if value.is_integer() else value


def read_pattern(text: str, options: argparse.Namespace) -> Pattern:
    """The pattern of a text argument. Raises InputFault with line and column."""
    try:
        return parse(text, options.meter, options.tempo, options.swing)
    except PatternError as error:
        raise InputFault(f"pattern:{error.line}:{error.column}: {error.message}") from None


def write_output(path: Path, data: bytes) -> None:
    """Write a file whole or not at all. Raises InputFault where the place cannot be written."""
    with output_faults(path):
        write_whole(path, data)


@contextmanager
def output_faults(path: Path) -> Iterator[None]:
    """Say in words why a file cannot be written."""
    try:
        if os.path.isdir(path):
            raise InputFault(f"{path} is a folder; give the name of a file to write")
        yield
    except FileNotFoundError:
        raise InputFault(f"there is no folder {path.parent}; make it, or write elsewhere") from None
    except OSError as error:
        raise InputFault(f"{path} cannot be written ({error.strerror or error}); write elsewhere") from None


def is_deck(what: str) -> bool:
    """Whether an argument names a deck file rather than being pattern text."""
    return what.lower().endswith(".toml") or ("/" in what and os.path.exists(what))


def read_deck_file(path: Path) -> Deck:
    """The deck of a file. Raises InputFault with every fault of it."""
    from drillapp.decks.load import load_deck

    deck, faults = load_deck(path)
    if deck is None:
        raise InputFault("this deck cannot be used\n" + "\n".join(map(str, faults)))
    return deck


def add_data_argument(parser: argparse.ArgumentParser) -> None:
    """``--data``, as the app itself has it; given before the verb it counts too."""
    parser.add_argument(
        "--data",
        type=Path,
        metavar="FOLDER",
        default=argparse.SUPPRESS,
        help="folder of the practice log (this user's)",
    )


def existing_log(data: Path | None) -> PracticeLog:
    """The practice log that is there already. Raises InputFault where there is none, LogError as open_log."""
    from drillapp.records import data_folder, open_log

    path = data_folder(data) / LOG_FILE
    if not path.exists():
        raise InputFault(f"there is no practice log in {path.parent}; practise first, or give --data FOLDER")
    return open_log(path)


def learners_named(log: PracticeLog, names: list[str]) -> tuple[str, ...]:
    """The ids of learners given by name or id. Raises InputFault with the names that there are."""
    known = log.learners.all(archived=True)
    ids = []
    for name in names:
        found = [one.id for one in known if name == one.id or name.casefold() == one.name.casefold()]
        if not found:
            there = ", ".join(one.name for one in known) or "nobody yet"
            raise InputFault(f"there is no learner {name!r}; there is {there}")
        if len(found) > 1:
            raise InputFault(f"{len(found)} learners are named {name!r}; give one's id: {', '.join(found)}")
        ids.append(found[0])
    return tuple(ids)
