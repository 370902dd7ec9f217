"""What is said to a new learner: the first question, and what the placing check found."""

from __future__ import annotations

from collections.abc import Collection

from .language import _, ngettext
from .signs import listed


def placed_heading(holds: Collection[str]) -> str:
    """How many signs are read already."""
    if not holds:
        return _("We begin at the beginning")
    return ngettext("You read one sign already", "You read %(count)d signs already", len(holds)) % {
        "count": len(holds)
    }


def placed_words(holds: Collection[str], rest: Collection[str]) -> str:
    """Which signs are read, and what becomes of the others."""
    if not holds:
        return _("Each sign is shown in a short lesson before the first question about it.")
    said = _("You read these: %(signs)s.") % {"signs": listed(tuple(holds))}
    if not rest:
        return said
    return _("%(read)s Each of the others is shown in a short lesson before the first question about it.") % {
        "read": said
    }


def without_sound(notice: str) -> str:
    """Why nothing is heard, and what is asked until something is."""
    return _("%(notice)s Until there is sound, only what needs no ear is asked.") % {"notice": notice}
