"""The kinds of question: one file and one row each. What a kind is stands in ``kind``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from drillapp.music import FEATURES

from .kind import Graded, Kind
from .page_to_sound import PAGE_TO_SOUND
from .sound_to_page import SOUND_TO_PAGE
from .strum_it import STRUM_IT, Performance
from .write_it_down import WRITE_IT_DOWN

__all__ = ["KINDS", "USUAL", "Graded", "Kind", "Performance", "allowed_kinds", "can_ask", "chosen"]

KINDS: Mapping[str, Kind[Any, Any]] = MappingProxyType(
    {kind.name: kind for kind in (PAGE_TO_SOUND, SOUND_TO_PAGE, STRUM_IT, WRITE_IT_DOWN)}
)
"""Every kind by its name, in the order in which they are offered."""
USUAL = tuple(kind for kind in KINDS.values() if kind.usual)


def chosen(names: Iterable[str]) -> tuple[Kind[Any, Any], ...]:
    """The kinds of these names, the usual ones where there is none. Raises KeyError for an unknown name."""
    return tuple(KINDS[name] for name in names) or USUAL


def allowed_kinds(
    names: Iterable[str], hears: bool = True, signs: int = 99
) -> tuple[tuple[Kind[Any, Any], ...], tuple[Kind[Any, Any], ...]]:
    """The kinds of these names that may be asked now, and those that stand in where one of them cannot ask.

    ``hears``: whether there is sound; without it only kinds that need no ear are asked. ``signs``: how many
    signs are open. Neither is ever empty. Raises KeyError for an unknown name.
    """

    def may(kind: Kind[Any, Any]) -> bool:
        return (hears or not kind.needs_ear) and kind.from_signs <= signs

    quiet = tuple(kind for kind in KINDS.values() if not kind.needs_ear)
    instead = tuple(filter(may, USUAL)) or quiet
    return tuple(filter(may, chosen(names))) or instead, instead


def can_ask(kinds: Iterable[Kind[Any, Any]]) -> frozenset[str]:
    """The features that one of these kinds, at least, can ask."""
    return frozenset(name for name in FEATURES if any(name not in kind.cannot_ask for kind in kinds))
