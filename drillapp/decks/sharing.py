"""Giving a deck away: a copy of its file in a folder that the user chooses.

A file that is there already is never written over. What cannot be done is said in the words of DeckFileError.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from drillapp.decks.deck import Deck
from drillapp.decks.folder import DeckFileError, in_plain_words
from drillapp.decks.load import MAX_FILES, SUFFIX
from drillapp.files.listing import shown_in
from drillapp.files.writing import write_whole


def listing(folder: Path, others: Sequence[str] = ()) -> tuple[Path, ...]:
    """The folders and the deck files in a folder, by name, folders first; hidden ones are left out.

    ``others``: further endings of files to show.

    Raises DeckFileError where the folder cannot be listed.
    """
    with in_plain_words(folder, "read"):
        return shown_in(folder, (SUFFIX, *others))[:MAX_FILES]


def share_deck(deck: Deck, path: Path) -> None:
    """Write a copy of the deck's file. Raises DeckFileError."""
    check_new(path, SUFFIX)
    with in_plain_words(path, "written"):
        write_whole(path, _data(deck))


def check_new(path: Path, ending: str) -> None:
    """Raises DeckFileError where the name has another ending, or where something is there already."""
    if path.suffix.lower() != ending:
        raise DeckFileError(
            f"{path.name or path} does not end in {ending}; end the name so",
            code="file-ending",
            places={"file": path.name or path, "ending": ending},
        )
    if os.path.exists(path):
        raise DeckFileError(
            f"{path} is there already and is kept; choose another name",
            code="file-there",
            places={"file": path},
        )


def _data(deck: Deck) -> bytes:
    source = Path(deck.source)
    if deck.source and os.path.isfile(source):
        with in_plain_words(source, "read"):
            return source.read_bytes()
    from drillapp.decks.write import write_deck

    return write_deck(deck).encode()
