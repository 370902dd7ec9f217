"""The user's folder of decks: new, save, take out and put back, copy in, drafts that survive a crash.

Every file is written whole or not at all. What cannot be done is said in the words of DeckFileError.
"""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path

from drillapp.decks.deck import Deck
from drillapp.decks.faults import Fault
from drillapp.decks.load import SUFFIX, load_deck
from drillapp.decks.read import read_deck
from drillapp.files.writing import make_private_folder, write_whole
from drillapp.music.errors import CodedError

DRAFTS = ".drafts"
_MAX_NAME = 60


class DeckFileError(CodedError):
    """A deck's file cannot be read or written; the message says which, why, and what to do."""


@dataclass(frozen=True)
class Removed:
    """A deck file that was taken out, with all that puts it back."""

    path: Path
    data: bytes


def new_path(folder: Path, title: str) -> Path:
    """A path for a new deck of this title, one that no file and no draft has yet.

    >>> new_path(Path("/nowhere"), "Étude: ties & rests").name
    'etude-ties-rests.toml'
    """
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    stem = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_MAX_NAME] or "deck"
    path = folder / f"{stem}{SUFFIX}"
    number = 2
    while path.exists() or draft_path(path.stem, folder).exists():
        path = folder / f"{stem}-{number}{SUFFIX}"
        number += 1
    return path


def save_deck(deck: Deck, path: Path) -> Deck:
    """Write the deck to its file, keeping comments and order of what the file said; gives it as it now reads.

    A file that has come to say something unreadable meanwhile is written anew. Raises DeckFileError.
    """
    from drillapp.decks.write import write_deck

    before = ""
    if os.path.isfile(path):
        with in_plain_words(path, "read"):
            before = path.read_bytes().decode("utf-8", "replace")
    text = write_deck(deck, before)
    read, faults = read_deck(text, path.name.removesuffix(SUFFIX), str(path))
    if read is None:
        message = "\n".join(fault.message for fault in faults)
        raise DeckFileError(message, code="deck-faults", places={"faults": faults})
    with in_plain_words(path, "written"):
        make_private_folder(path.parent)
        write_whole(path, text.encode())
    return read


def remove_deck(path: Path) -> Removed:
    """Take a deck file out of its folder; ``put_back`` undoes it. Raises DeckFileError."""
    with in_plain_words(path, "taken out"):
        removed = Removed(path, path.read_bytes())
        path.unlink()
    return removed


def put_back(removed: Removed) -> None:
    """Put a file back where it was. Raises DeckFileError, also where another has taken its place."""
    if removed.path.exists():
        raise DeckFileError(
            f"{removed.path} is there again; rename that deck first",
            code="file-there-again",
            places={"file": removed.path},
        )
    with in_plain_words(removed.path, "written"):
        make_private_folder(removed.path.parent)
        write_whole(removed.path, removed.data)


def copy_in(source: Path, folder: Path, beside: Iterable[Deck] = ()) -> tuple[Deck | None, tuple[Fault, ...]]:
    """Copy a deck file from outside into the folder, where it has no fault; gives the deck or the faults.

    ``beside``: the decks already there, whose titles it must not repeat. The file itself is not changed.
    Raises DeckFileError where the folder cannot be written.
    """
    deck, faults = load_deck(source)
    if deck is None:
        return None, faults
    taken = [other for other in beside if other.title.casefold() == deck.title.casefold()]
    if taken:
        message = f"there already is a deck with the title {deck.title!r}; give this one its own"
        places = {"title": deck.title}
        return None, (Fault(str(source), 1, 1, message, code="deck-copy-title-taken", places=places),)
    names = {other.name.casefold() for other in beside}
    path = folder / source.name
    if path.exists() or source.name.removesuffix(SUFFIX).casefold() in names:
        path = new_path(folder, f"{deck.title} 2")
    with in_plain_words(path, "written"):
        make_private_folder(folder)
        write_whole(path, source.read_bytes())
    return load_deck(path)


def save_draft(deck: Deck, folder: Path) -> None:
    """Keep a deck that is being edited, so that a crash does not lose it. Raises DeckFileError."""
    from drillapp.decks.write import write_deck

    path = draft_path(deck.name, folder)
    with in_plain_words(path, "written"):
        make_private_folder(path.parent)
        write_whole(path, write_deck(deck).encode())


def load_drafts(folder: Path) -> tuple[Deck, ...]:
    """The drafts that a crash left behind, by name; a damaged one is left out and left where it is."""
    found = []
    if (folder / DRAFTS).is_dir():
        for path in sorted((folder / DRAFTS).glob(f"*{SUFFIX}")):
            deck, _ = load_deck(path)
            if deck is not None:
                found.append(replace(deck, source=str(folder / path.name)))
    return tuple(found)


def draft_path(name: str, folder: Path) -> Path:
    """Where the draft of a deck is kept."""
    return folder / DRAFTS / f"{name}{SUFFIX}"


def drop_draft(name: str, folder: Path) -> None:
    """Forget the draft of a deck that was saved or given up; one that stays is only offered once more."""
    with suppress(OSError):
        draft_path(name, folder).unlink(missing_ok=True)


@contextmanager
def in_plain_words(path: Path, what: str) -> Iterator[None]:
    """Say an OSError that befalls ``path`` as a DeckFileError; ``what``: what was not done with it."""
    try:
        yield
    except FileNotFoundError:
        raise DeckFileError(
            f"{path} is gone; it may have been moved or renamed", code="file-gone", places={"file": path}
        ) from None
    except PermissionError:
        raise DeckFileError(
            f"{path} may not be {what}; allow it in the folder's permissions, or choose another folder",
            code="file-not-allowed",
            places={"file": path, "what": what},
        ) from None
    except OSError as error:
        reason = error.strerror or str(error)
        raise DeckFileError(
            f"{path} cannot be {what} ({reason}); nothing was changed",
            code="file-not-done",
            places={"file": path, "what": what, "reason": reason},
        ) from None
