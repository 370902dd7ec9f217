"""What the user should see though nothing was asked: a sentence, and the kind of thing that it is about."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Kind = Literal["sound", "latency", "log", "settings", "prior", "decks", "plan", "kept", "failure"]

STATES: frozenset[Kind] = frozenset({"sound", "latency", "plan", "kept"})
"""Kinds that tell how something stands: the newest one holds, those before it are out of date."""


@dataclass(frozen=True)
class Notice:
    """A sentence for the user, and its kind."""

    kind: Kind
    text: str


def with_notice(shown: Iterable[Notice], newer: Notice) -> tuple[Notice, ...]:
    """The notices with a newer one at their end; what is shown already is not shown twice.

    >>> gone = Notice("sound", "No sound.")
    >>> with_notice((gone, Notice("log", "Rescued.")), Notice("sound", "Switched off."))[-1].text
    'Switched off.'
    """
    kept = tuple(old for old in shown if old.kind != newer.kind or newer.kind not in STATES or old == newer)
    return kept if newer in kept else (*kept, newer)


def without_kind(shown: Iterable[Notice], kind: Kind) -> tuple[Notice, ...]:
    """The notices but for those of a kind: what they told of is over."""
    return tuple(notice for notice in shown if notice.kind != kind)
