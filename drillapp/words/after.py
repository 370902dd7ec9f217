"""What can be done after an answer: take it back, ask another like it, keep its page."""

from __future__ import annotations

from .language import _
from .plan import question_place


def no_other_page() -> str:
    """No question like the one that was misread can be made."""
    return _("There is no other page here that asks for this sign.")


def place(number: int, of: int, extra: bool, seen: bool) -> str:
    """Where in the drill the question stands; ``extra``: outside its number, ``seen``: its answer was."""
    if seen:
        return _("Taken back · its answer was shown, so it does not count")
    return _("Another like it") if extra else question_place(number, of)


def kept_pages() -> str:
    """What the deck of kept pages is called."""
    return _("Kept pages")


def kept(deck: str) -> str:
    """A page was put into a deck of the user's own."""
    return _("This page is now in the deck %(deck)s.") % {"deck": deck}


def keeping(is_kept: bool) -> str:
    """What the button that keeps a page says."""
    return _("Kept") if is_kept else _("Keep this page")


def row_played(number: int, of: int) -> str:
    """What stands over the strokes that were played; ``number`` from 1, of so many times through the page."""
    if of == 1:
        return _("You played")
    return _("You played, time %(number)d of %(of)d") % {"number": number, "of": of}


def row_sounded() -> str:
    """What stands over the signs of what sounded."""
    return _("It sounded")


def row_written() -> str:
    """What stands over the signs that were written."""
    return _("You wrote")
