"""Giving a deck's printed sheet away, in a folder that the user chooses. No Kivy here."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from drillapp.decks.deck import Deck
from drillapp.decks.folder import in_plain_words
from drillapp.decks.sharing import check_new


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
    from drillapp.reports.deck_sheet import write_sheet

    check_new(path, ".pdf")
    with in_plain_words(path, "written"):
        return write_sheet(deck, path, layers, names=names, progress=progress)
