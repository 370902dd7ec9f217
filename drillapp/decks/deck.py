"""Decks: a teacher's set of patterns, written as TOML.

A deck file says what the deck is called, then gives its patterns one after another::

    title = "Around the house"
    advice = "Keep the arm moving."    # optional, as is all that follows here
    meter = "4/4"                      # for every pattern that does not say otherwise
    tempo = 80                         # beats a minute
    tempo_range = [60, 110]            # slowest and fastest that make sense
    swing = "2:1"
    signs = ["beat", "offbeat"]        # the signs it keeps to; `drillapp check` warns of others
    layers = ["staff", "counts"]       # how it is best shown

    [[pattern]]
    title = "Front door"
    text = "D DU D DU"

Each pattern has a title and a text, and may have a meter, tempo, tempo_range, swing and advice of its own.
Lines and columns count from 1. All faults of a file are reported together.
"""

from __future__ import annotations

from dataclasses import dataclass

from drillapp.music.pattern import Pattern
from drillapp.music.slots import Number

MAX_CHARACTERS = 1_000_000
MAX_PATTERNS = 2_000
MAX_TITLE = 80


@dataclass(frozen=True)
class DeckPattern:
    """A pattern with the title a teacher gave it; ``line`` is where the file writes it (0: no file)."""

    title: str
    pattern: Pattern
    tempo_low: Number
    tempo_high: Number
    advice: str = ""
    line: int = 0


@dataclass(frozen=True)
class Deck:
    """A set of patterns. ``name`` is the file's name without .toml, ``source`` its path, ``signs`` the
    features it says it keeps to, ``layers`` those it is best read on (empty: it does not say)."""

    name: str
    title: str
    advice: str
    patterns: tuple[DeckPattern, ...]
    source: str = ""
    signs: tuple[str, ...] = ()
    layers: tuple[str, ...] = ()


def usual_range(tempo: Number) -> tuple[Number, Number]:
    """The slowest and the fastest tempo of a pattern that does not say."""
    return max(20, round(float(tempo) * 0.7)), min(400, round(float(tempo) * 1.25))
