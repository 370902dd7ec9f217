"""What is said where the practice log cannot be used and something is done about it."""

from __future__ import annotations

from .language import _, ngettext


def answers_saved(count: int, file: str) -> str:
    """So many answers of a log that cannot be opened are in a file now."""
    words = ngettext(
        "%(count)d answer is saved in %(file)s.", "%(count)d answers are saved in %(file)s.", count
    )
    return words % {"count": count, "file": file}


def could_not(reason: str) -> str:
    """Something could not be done, and why."""
    return _("That could not be done: %(reason)s") % {"reason": reason}
