"""Answers as they are read in bulk: only what counts and beliefs are made of, without checks.

Conventions: as in `answer`. Ten thousand of these are made in the time of a thousand whole answers.
"""

from __future__ import annotations

import math
from datetime import date, timedelta
from functools import lru_cache
from typing import Any, NamedTuple

from .answer import HELPED, Observation

_EPOCH = date(1970, 1, 1)


class SignEntry(NamedTuple):
    """One factor of an answer; fields as in `FactorAnswer`."""

    features: tuple[str, ...]
    written: str
    read: str | None
    correct: bool
    guess: float


class Take(NamedTuple):
    """What the log keeps of a strummed page: ``lead`` (s, positive is early) and ``steadiness`` (s, SD of the
    strokes about their own beat)."""

    lead: float
    steadiness: float
    early: int
    late: int


class Entry(NamedTuple):
    """One answer; fields as in `Answer`. `when`: its effective time."""

    when: float
    offset: int
    pattern: str
    tempo: float
    layers: tuple[str, ...]
    first_seen: bool
    sure: bool
    seconds: float
    asked: tuple[str, ...]
    factors: tuple[SignEntry, ...]
    helped: bool = False
    meter: str = "4/4"
    swing: str | None = None
    take: Take | None = None
    """How it was strummed; None for what was not."""


def entry_of(data: dict[str, Any], when: float, shared: dict[Any, Any]) -> Entry:
    """The entry of an answer's own JSON object; equal tuples are kept once, in ``shared``."""

    def once(value: tuple[str, ...]) -> tuple[str, ...]:
        found: tuple[str, ...] = shared.setdefault(value, value)
        return found

    return Entry(
        when,
        data["offset"],
        data["pattern"],
        data["tempo"],
        once(tuple(data["layers"])),
        data["first_seen"],
        data["pick"] is not None or not data["candidates"],
        data["seconds"],
        once(tuple(data["asked"])),
        tuple(
            [
                SignEntry(
                    once(tuple(one["features"])), one["written"], one["read"], one["correct"], one["guess"]
                )
                for one in data["factors"]
            ]
        ),
        bool(data["extra"].get(HELPED)),
        data["meter"],
        data["swing"],
        _take(data["extra"]) if "lead" in data["extra"] else None,
    )


def observations_of(data: dict[str, Any], when: float, shared: dict[Any, Any]) -> list[Observation]:
    """What ``evidence_of`` gives, from the line's object; equal tuples and texts are kept once."""

    if data["extra"].get(HELPED):
        return []

    def once(value: Any) -> Any:
        return shared.setdefault(value, value)

    learner, drill, layers = once(data["learner"]), once(data["drill"]), once(tuple(data["layers"]))
    first_seen, tempo, seconds = data["first_seen"], data["tempo"], data["seconds"]
    pattern = once(data["pattern"])
    sure = data["pick"] is not None or not data["candidates"]
    return [
        Observation(
            learner,
            once(tuple(factor["features"])),
            factor["correct"],
            factor["guess"],
            factor["present"],
            first_seen,
            when,
            layers,
            tempo,
            seconds,
            drill,
            sure,
            pattern,
        )
        for factor in data["factors"]
    ]


def _take(extra: dict[str, Any]) -> Take | None:
    """A take as its drill recorded it; what is there comes from outside and is checked for nothing else."""
    lead, steadiness, slots = extra.get("lead"), extra.get("steadiness"), extra.get("slots")
    if not isinstance(lead, (int, float)) or not isinstance(steadiness, (int, float)):
        return None
    if not math.isfinite(lead) or not math.isfinite(steadiness):
        return None
    said = [one[1:] for one in slots if isinstance(one, list)] if isinstance(slots, list) else []
    return Take(lead, steadiness, sum("early" in one for one in said), sum("late" in one for one in said))


def day_of(when: float, offset: int) -> date:
    """The learner's own date at UTC seconds ``when``; ``offset``: the local time's lead in minutes.

    >>> day_of(86_399.0, 1)
    datetime.date(1970, 1, 2)
    """
    return _day(int((when + 60 * offset) // 86_400))


@lru_cache(maxsize=1024)
def _day(number: int) -> date:
    return _EPOCH + timedelta(days=number)
