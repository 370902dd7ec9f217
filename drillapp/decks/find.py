"""Finding patterns in decks: by words, signs, meter, difficulty, met or not."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable

from drillapp.music.difficulty import difficulty
from drillapp.music.features import features_to_ask
from drillapp.music.pattern import Pattern

from .deck import Deck, DeckPattern

Found = tuple[Deck, DeckPattern]

#: thirds of the course's patterns, by their difficulty
BANDS: dict[str, tuple[float, float]] = {
    "easier": (0.0, 0.22),
    "middling": (0.22, 0.31),
    "harder": (0.31, 1.0),
}


def find(
    decks: Iterable[Deck],
    words: str = "",
    features: Collection[str] = (),
    meter: str | None = None,
    hardness: tuple[float, float] = (0.0, 1.0),
    met: Callable[[Pattern], bool] | None = None,
) -> tuple[Found, ...]:
    """The patterns that have all that is asked, in the order of their decks, each with its deck.

    ``words``: all of them in the title of pattern or deck, in the advice or the pattern text, whatever their
    case; ``features``: each to be read there (see ``features_to_ask``); ``hardness``: least and most
    difficulty; ``met``: keeps those for which it is true.

    >>> from drillapp.music import parse
    >>> push = DeckPattern("Up into 3", parse("D- DU -U DU"), 60, 110)
    >>> deck = Deck("d", "Days", "", (DeckPattern("Steps", parse("D D D D"), 60, 110), push))
    >>> [pattern.title for _, pattern in find([deck], "days", features=("tie",))]
    ['Up into 3']
    """
    wanted = words.casefold().split()
    asked = frozenset(features)
    low, high = hardness
    return tuple(
        (deck, pattern)
        for deck in decks
        for pattern in deck.patterns
        if (meter is None or pattern.pattern.meter.text == meter)
        and all(word in _said(deck, pattern) for word in wanted)
        and asked <= features_to_ask(pattern.pattern)
        and (hardness == (0.0, 1.0) or low <= difficulty(pattern.pattern) <= high)
        and (met is None or met(pattern.pattern))
    )


def meters(decks: Iterable[Deck]) -> tuple[str, ...]:
    """The meters that these decks use, the most used first."""
    counts: dict[str, int] = {}
    for deck in decks:
        for pattern in deck.patterns:
            text = pattern.pattern.meter.text
            counts[text] = counts.get(text, 0) + 1
    return tuple(sorted(counts, key=lambda text: -counts[text]))


def _said(deck: Deck, pattern: DeckPattern) -> str:
    parts = (pattern.title, deck.title, pattern.advice, pattern.pattern.text, pattern.pattern.meter.text)
    return " ".join(parts).casefold()
