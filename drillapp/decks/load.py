"""Finding and loading deck files: those that ship with the app, and the user's own.

A deck that cannot be read never harms another: it is left out and its faults are given beside the decks.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from drillapp.decks.deck import MAX_CHARACTERS, Deck
from drillapp.decks.faults import Fault
from drillapp.decks.read import read_deck
from drillapp.files.reading import TooLarge, read_bounded
from drillapp.files.resources import shipped
from drillapp.music.course import place_of

SUFFIX = ".toml"
MAX_BYTES = 4 * MAX_CHARACTERS
MAX_FILES = 1_000


def load_decks(*folders: Path) -> tuple[tuple[Deck, ...], tuple[Fault, ...]]:
    """All decks, those of the course first and in its order, then the user's folders'; and all faults.

    A folder that is not there holds no deck. Two decks of one name or title are a fault of the second.
    """
    found, faults = load_files(deck_files(shipped("decks")))
    decks = sorted(found, key=lambda deck: place_of(deck.name))
    for folder in folders:
        if not os.path.exists(folder):
            continue
        try:
            own = deck_files(folder)
        except OSError as error:
            faults = (*faults, _unreadable(folder, error))
            continue
        more, more_faults = load_files(own, decks)
        decks.extend(more)
        faults = (*faults, *more_faults)
    return tuple(decks), faults


def load_files(
    paths: Iterable[Path], beside: Iterable[Deck] = ()
) -> tuple[tuple[Deck, ...], tuple[Fault, ...]]:
    """The decks of these files in order, and the faults of all of them; ``beside``: decks already there."""
    decks: list[Deck] = []
    faults: list[Fault] = []
    names = {deck.name.casefold(): deck for deck in beside}
    titles = {deck.title.casefold(): deck for deck in beside}
    for path in paths:
        deck, wrong = load_deck(path)
        faults.extend(wrong)
        if deck is None:
            continue
        same_name = names.get(deck.name.casefold())
        same_title = titles.get(deck.title.casefold())
        if same_name is not None:
            message = f"{same_name.source} already is a deck named {deck.name}; give this file another name"
            places = {"file": same_name.source, "name": deck.name}
            faults.append(Fault(str(path), 1, 1, message, code="deck-name-taken", places=places))
        elif same_title is not None:
            message = f"{same_title.source} already has the title {deck.title!r}; give this deck its own"
            places = {"file": same_title.source, "title": deck.title}
            faults.append(Fault(str(path), 1, 1, message, code="deck-title-taken", places=places))
        else:
            names[deck.name.casefold()] = titles[deck.title.casefold()] = deck
            decks.append(deck)
    return tuple(decks), tuple(faults)


def load_deck(path: Path) -> tuple[Deck | None, tuple[Fault, ...]]:
    """The deck of one file, or None and every fault of it, also where it cannot be read at all."""
    try:
        if path.is_dir():
            message = "this is a folder; name the deck files in it, one by one"
            return None, (Fault(str(path), 1, 1, message, code="deck-is-folder"),)
        data = read_bounded(path, MAX_BYTES)
    except TooLarge:
        most = MAX_BYTES // 1_000_000
        message = f"the file is larger than {most} MB; make several decks of it"
        return None, (Fault(str(path), 1, 1, message, code="deck-bytes", places={"most": most}),)
    except OSError as error:
        return None, (_unreadable(path, error),)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        line, column = before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1
        byte = f"{data[error.start]:#04x}"
        wrong = f"byte {byte} is not UTF-8 text; save the file as UTF-8 in the text editor"
        return None, (Fault(str(path), line, column, wrong, code="deck-utf8", places={"byte": byte}),)
    return read_deck(text, path.name.removesuffix(SUFFIX), str(path))


def deck_files(folder: Path) -> tuple[Path, ...]:
    """The deck files of a folder, by name. Raises OSError where it cannot be listed."""
    files = sorted(path for path in folder.iterdir() if path.suffix.lower() == SUFFIX)
    return tuple(path for path in files if not path.name.startswith("."))[:MAX_FILES]


def _unreadable(path: Path, error: OSError) -> Fault:
    if isinstance(error, FileNotFoundError):
        message, code = "there is no such file; check its name and folder", "file-missing"
    elif isinstance(error, PermissionError):
        message, code = "this may not be read; allow it in the file's permissions", "file-forbidden"
    else:
        reason = error.strerror or str(error)
        message = f"this cannot be read ({reason}); check the file and try again"
        return Fault(str(path), 1, 1, message, code="file-unreadable", places={"reason": reason})
    return Fault(str(path), 1, 1, message, code=code)
