"""Tasks: a question as it is put to the learner, and what it takes to put one.

Conventions: tempo in beats a minute; ``now`` in seconds, handed in.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from drillapp.music import FEATURE_TABLE, FEATURES, LAYERS, Pattern, features_to_ask
from drillapp.music.features import sign_set

from .growth import cut
from .plan import Change, Page

Q = TypeVar("Q")

TEMPO_LIMITS = (40, 200)

_FADE = 0.9  # expected accuracy from which letters no longer stand beside the staff


@dataclass(frozen=True)
class Source:
    """A pattern that questions may be made from, and where it comes from.

    ``layers``: those that its deck asks for, empty where it leaves them to the learner.
    """

    pattern: Pattern
    title: str = ""
    deck: str = ""
    layers: tuple[str, ...] = ()


@dataclass(frozen=True)
class Wishes:
    """What the learner or the teacher has set: layers, pace against the pattern's tempo, chord, drills.

    ``drills``: the names of the kinds of question that may be put, the usual ones where it is empty.
    """

    layers: tuple[str, ...] = ("letters", "counts", "staff")
    pace: float = 1.0
    chord: str = "G"
    fresh: bool = True
    drills: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Task(Generic[Q]):
    """A question as it is put: number ``number`` (from 1) of ``of``.

    ``drill``: the name of its kind; ``pattern``: the one that is read; ``asked``: the features it is about;
    ``allowed``: those it could have been about; ``first_seen``: the learner has never met the pattern;
    ``question``: what only its kind knows of it, None where that is nothing; ``change``: how it departs from
    the drill's plan, None where it does not.
    """

    number: int
    of: int
    drill: str
    pattern: Pattern
    tempo: int
    layers: tuple[str, ...]
    why: str
    chord: str
    asked: tuple[str, ...]
    allowed: tuple[str, ...]
    source: Source
    first_seen: bool
    question: Q
    change: Change | None = None


def readable(pattern: Pattern, layers: Sequence[str]) -> frozenset[str]:
    """The features of which these layers show a sign in this pattern."""
    return frozenset(sign.feature for sign in sign_set(pattern, layers))


def pages_of(sources: Iterable[Source], can_ask: Collection[str] = FEATURES) -> frozenset[Page]:
    """What the patterns and their first bars can ask and show, each kind of page once.

    ``can_ask``: the features that some kind of question at hand can ask.
    """
    pages = {
        _page(pattern, source.layers)
        for source in sources
        for pattern in (source.pattern, cut(source.pattern, 1))
    }
    return frozenset(Page(page.asks & set(can_ask), page.shows) for page in pages)


def _page(pattern: Pattern, layers: tuple[str, ...]) -> Page:
    shown = features_to_ask(pattern)
    return Page(shown & readable(pattern, layers) if layers else shown, shown)


def met_key(pattern: Pattern) -> str:
    """What says that two patterns are the same one to a learner: their text, whatever the tempo."""
    return pattern.text


def layers_for(features: Sequence[str], shown: Sequence[str], expected: float) -> tuple[str, ...]:
    """The layers to show so that each feature can be read in one of them.

    Letters fade from beside the staff when the features are read well and the staff shows them.

    >>> layers_for(("tie",), ("letters", "counts"), 0.5)
    ('letters', 'counts', 'staff')
    """
    layers = set(shown)
    for feature in features:
        can_show = FEATURE_TABLE[feature].layers
        if not layers & set(can_show):
            layers.add("staff" if "staff" in can_show else can_show[0])
    if expected >= _FADE and all("staff" in FEATURE_TABLE[feature].layers for feature in features):
        faded = layers - {"letters", "arrows"}
        layers = faded if "staff" in faded else layers
    return tuple(layer for layer in LAYERS if layer in layers)


def tempo_for(pattern: Pattern, pace: float, expected: float) -> int:
    """Beats a minute: the pattern's own, slower while its signs are still read with doubt."""
    ease = 0.8 + 0.2 * min(max((expected - 0.4) / 0.5, 0.0), 1.0)
    return bounded(float(pattern.tempo) * pace * ease)


def bounded(tempo: float) -> int:
    """The nearest tempo at which questions are put."""
    low, high = TEMPO_LIMITS
    return round(min(max(tempo, low), high))
