"""The kinds of question: one file and one row each. What a kind is stands in ``kind``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from .kind import Graded, Kind
from .page_to_sound import PAGE_TO_SOUND
from .sound_to_page import SOUND_TO_PAGE
from .strum_it import STRUM_IT, Performance
from .write_it_down import WRITE_IT_DOWN

__all__ = ["KINDS", "USUAL", "Graded", "Kind", "Performance", "chosen"]

KINDS: Mapping[str, Kind[Any, Any]] = MappingProxyType(
    {kind.name: kind for kind in (PAGE_TO_SOUND, SOUND_TO_PAGE, STRUM_IT, WRITE_IT_DOWN)}
)
"""Every kind by its name, in the order in which they are offered."""
USUAL = tuple(kind for kind in KINDS.values() if kind.usual)


def chosen(names: Iterable[str]) -> tuple[Kind[Any, Any], ...]:
    """The kinds of these names, the usual ones where there is none. Raises KeyError for an unknown name."""
    return tuple(KINDS[name] for name in names) or USUAL
