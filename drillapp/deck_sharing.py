"""Giving a deck away: a copy of its file, or its printed sheet, in a folder that the user chooses.

A file that is there already is never written over. What cannot be done is said in the words of DeckFileError.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from drillapp.deck_folder import DeckFileError, in_plain_words
from drillapp.decks import MAX_FILES, SUFFIX
from drillapp.music.deck import Deck
from drillapp.writing import write_whole


@dataclass(frozen=True)
class Entry:
    """A folder, or a deck file, in a folder."""

    path: Path
    is_folder: bool


def listing(folder: Path) -> tuple[Entry, ...]:
    """The folders and the deck files in a folder, by name, folders first; hidden ones are left out.

    Raises DeckFileError where the folder cannot be listed.
    """
    with in_plain_words(folder, "read"):
        shown = sorted(path for path in folder.iterdir() if not path.name.startswith("."))
    folders = [Entry(path, True) for path in shown if path.is_dir()]
    files = [Entry(path, False) for path in shown if path.suffix.lower() == SUFFIX and not path.is_dir()]
    return (*folders, *files)[:MAX_FILES]


def share_deck(deck: Deck, path: Path) -> None:
    """Write a copy of the deck's file. Raises DeckFileError."""
    _check(path, SUFFIX)
    with in_plain_words(path, "written"):
        write_whole(path, _data(deck))


def share_sheet(
    deck: Deck,
    path: Path,
    layers: Iterable[str],
    names: str,
    progress: Callable[[int, int], None] | None = None,
) -> int:
    """Write the deck's sheet as a PDF file and give its number of pages; what ``progress`` raises stops it.

    Raises DeckFileError.
    """
    from drillapp.notation.sheet import write_sheet

    _check(path, ".pdf")
    with in_plain_words(path, "written"):
        return write_sheet(deck, path, layers, names=names, progress=progress)


def _check(path: Path, ending: str) -> None:
    if path.suffix.lower() != ending:
        raise DeckFileError(f"{path.name or path} does not end in {ending}; end the name so")
    if path.exists():
        raise DeckFileError(f"{path} is there already and is kept; choose another name")


def _data(deck: Deck) -> bytes:
    source = Path(deck.source)
    if deck.source and source.is_file():
        with in_plain_words(source, "read"):
            return source.read_bytes()
    from drillapp.music.deck_write import write_deck

    return write_deck(deck).encode()
