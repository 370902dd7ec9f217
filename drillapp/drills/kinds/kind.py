"""What a kind of question is.

A new kind implements at least the following: ``make``, which gives what can be put on the pages that a turn
offers; ``sounds``, the patterns that are heard while it waits; and ``grade``, which says once what an answer
came to: whether it was right, every sign as it was read, and what this kind alone records. Its row says what
it is called, which screen puts it and which one shows what came of it, which features it cannot ask, whether
the page is given and whether the ear is needed, and about how long it takes. It stands in a file of its own
beside this one and in ``KINDS``, and nothing else names it; a screen that is new comes with it.

Conventions: tempo in beats a minute, seconds; an answer of None is Not sure, whatever the kind.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping, Set
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from drillapp.drills.growth import Size
from drillapp.drills.pick import Evidence
from drillapp.drills.slot_evidence import SignRead
from drillapp.drills.tasks import Source, Task
from drillapp.music import Pattern

Q = TypeVar("Q")
G = TypeVar("G")

LOOK_A_BAR = 3.0  # s to read a bar
HEARINGS = 3  # times that a sound is heard


@dataclass(frozen=True)
class Base:
    """A pattern to ask on, at the tempo and on the layers that it would be put in."""

    source: Source
    pattern: Pattern
    layers: tuple[str, ...]


@dataclass(frozen=True)
class Turn:
    """What the next question is to be about.

    ``features``: those to ask, all of which the kind can ask; ``within``: those that a page may show or a
    question touch; ``size``: how large it may be; ``bases``: patterns to ask on, best first, made as they are
    taken.
    """

    features: tuple[str, ...]
    within: Set[str]
    size: Size
    rng: random.Random
    bases: Iterator[Base]


@dataclass(frozen=True)
class Put(Generic[Q]):
    """A question that could be put: the pattern that is read, and all those that the learner meets by it.

    ``question``: what only its kind knows of it.
    """

    base: Base
    pattern: Pattern
    layers: tuple[str, ...]
    shown: tuple[Pattern, ...]
    question: Q


@dataclass(frozen=True)
class Recorded:
    """What a kind alone writes to the log: candidates with the one picked and the one written, and more."""

    candidates: tuple[str, ...] = ()
    pick: int | None = None
    written: int | None = None
    extra: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Graded:
    """What an answer came to.

    ``signs``: each one, the way it was written and the way it was read; ``detail``: what the screen that
    shows it tells of it, None where there is nothing to tell. ``set_aside`` is the word for why an answer
    is not scored, which leaves the same question to be tried again; None where it counts.
    """

    right: bool
    signs: tuple[SignRead, ...] = ()
    detail: Any = None
    recorded: Recorded = field(default_factory=Recorded)
    set_aside: str | None = None

    @property
    def evidence(self) -> tuple[Evidence, ...]:
        """What it says about the reading of each sign."""
        return tuple(sign.evidence for sign in self.signs)


@dataclass(frozen=True)
class InCheck:
    """How a kind takes its turns in a Reading check, where nothing that can be guessed is asked.

    ``every``: one page in so many is put in this way, 1 for those that no other kind takes; ``signs``: what a
    page, on these layers, tells when it is answered as it should be.
    """

    every: int
    signs: Callable[[Pattern, tuple[str, ...]], tuple[SignRead, ...]]


def _page(task: Task[Any]) -> tuple[Pattern, ...]:
    return (task.pattern,)


@dataclass(frozen=True, kw_only=True)
class Kind(Generic[Q, G]):
    """A kind of question; see the head of this module.

    ``name``: as the log and the settings keep it; ``about``: what one does, in a few words; ``screen`` and
    ``shows``: keys of the screens that put it and that show what came of it; ``grade``: of a task, what was
    given and the tempo; ``pages``: the patterns whose signs are to be read while it waits; ``seconds``: about
    how long it takes on a pattern at a tempo, but for what is around every question; ``usual``: asked where
    the learner has chosen no kind, and in place of one that cannot ask the signs that are due;
    ``from_signs``: how many signs are open before it is asked.
    """

    name: str
    title: str
    about: str
    screen: str
    shows: str
    from_page: bool
    needs_ear: bool
    make: Callable[[Turn], Iterator[Put[Q]]]
    sounds: Callable[[Task[Q]], tuple[Pattern, ...]]
    grade: Callable[[Task[Q], G | None, float], Graded]
    seconds: Callable[[Pattern, float], float]
    pages: Callable[[Task[Q]], tuple[Pattern, ...]] = _page
    cannot_ask: frozenset[str] = frozenset()
    usual: bool = False
    from_signs: int = 0
    check: InCheck | None = None


def sounding(pattern: Pattern, tempo: float) -> float:
    """Seconds that a pattern lasts at ``tempo``."""
    return 60.0 * float(pattern.length / pattern.meter.unit) / tempo
