"""A deck of the user's own for single pages that were worth keeping, such as one that was misread.

It is a deck like any other: to be edited, practised and taken out. Its file always has the same name, so that
it is found again whatever its title has become.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from drillapp.music import Pattern

from .deck import MAX_PATTERNS, MAX_TITLE, Deck, DeckPattern, usual_range
from .draft import free_title
from .folder import DeckFileError, save_deck
from .load import SUFFIX, load_deck

NAME = "kept-pages"


def kept_path(folder: Path) -> Path:
    """Where the deck of kept pages is, in the user's folder of decks."""
    return folder / f"{NAME}{SUFFIX}"


def is_kept(pattern: Pattern, folder: Path, decks: Iterable[Deck]) -> bool:
    """Whether the deck of kept pages, among ``decks``, holds this page, at whatever tempo."""
    source = str(kept_path(folder))
    return any(
        _same(one.pattern, pattern) for deck in decks if deck.source == source for one in deck.patterns
    )


def keep(pattern: Pattern, title: str, folder: Path, decks: Iterable[Deck], deck_title: str) -> Deck:
    """Put a page into the deck of kept pages, which begins with it; a page that is there already stays once.

    ``title``: what the page is called, its text where empty; ``decks``: those that there are; ``deck_title``:
    what a new deck is called. Raises DeckFileError where it cannot be written, holds what cannot be read, or
    is full.
    """
    path = kept_path(folder)
    deck = _begun(path, decks, deck_title)
    if any(_same(one.pattern, pattern) for one in deck.patterns):
        return deck
    if len(deck.patterns) >= MAX_PATTERNS:
        raise DeckFileError(
            f"{deck.title} is full: a deck has at most {MAX_PATTERNS:,} patterns; take some out first",
            code="deck-full",
            places={"deck": deck.title, "most": MAX_PATTERNS},
        )
    taken = {one.title.casefold() for one in deck.patterns}
    called = free_title((title or pattern.text)[:MAX_TITLE], taken)
    page = DeckPattern(called, pattern, *usual_range(pattern.tempo))
    patterns = (*deck.patterns, page)
    return save_deck(Deck(deck.name, deck.title, deck.advice, patterns, str(path), (), deck.layers), path)


def _begun(path: Path, decks: Iterable[Deck], title: str) -> Deck:
    """The deck as its file has it, or a new one without patterns."""
    if not path.exists():
        return Deck(NAME, free_title(title, {deck.title.casefold() for deck in decks}), "", (), str(path))
    deck, faults = load_deck(path)
    if deck is None:
        message = "\n".join(fault.message for fault in faults)
        raise DeckFileError(message, code="kept-deck-faults", places={"faults": faults})
    return deck


def _same(one: Pattern, other: Pattern) -> bool:
    return (one.text, one.meter, one.swing) == (other.text, other.meter, other.swing)
