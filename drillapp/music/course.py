"""The course: which sign builds on which, and which deck opens which sign.

One table for the planner (a sign opens when those it builds on hold), for fresh patterns (which signs may
stand beside the ones asked for) and for `drillapp check` (signs used before their deck).
The order is common practice in teaching strumming: first the beat, then what lies between.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .feature_table import FEATURE_TABLE, FEATURES

#: feature -> the features it builds on
BUILDS_ON: dict[str, tuple[str, ...]] = {name: row.builds_on for name, row in FEATURE_TABLE.items()}


@dataclass(frozen=True)
class Step:
    """A deck of the course: the sign it opens ("" where it only mixes), and the decks it builds on."""

    deck: str
    opens: str
    after: tuple[str, ...] = ()
    also: tuple[str, ...] = ()  # other signs that its page must show


COURSE: tuple[Step, ...] = (
    # A note held over whole beats shows dashes in letters, and the staff always shows a meter.
    Step("on-the-beat", "beat", (), ("skip", "meter")),
    Step("offbeats", "offbeat", ("on-the-beat",)),
    Step("skips", "skip", ("offbeats",)),
    Step("three-in-a-bar", "meter", ("skips",)),
    Step("rests", "rest", ("skips",)),
    Step("ties", "tie", ("rests",)),
    Step("mutes", "mute", ("ties",)),
    Step("accents", "accent", ("mutes",)),
    Step("mixed-eighths", "", ("accents", "three-in-a-bar")),
    Step("sixteenths", "sixteenth", ("mixed-eighths",)),
    Step("sixteenth-skips", "", ("sixteenths",)),
    Step("compound", "compound", ("mixed-eighths",)),
    Step("triplets", "triplet", ("mixed-eighths",)),
    Step("swing", "swing", ("triplets",)),
    Step("against-the-hand", "direction", ("accents",)),
    Step("five-and-seven", "", ("compound",)),
    Step("phrases", "", ("sixteenths",)),
    Step("staff-alone", "", ("sixteenth-skips", "phrases")),
)


def builds_on(features: Iterable[str]) -> frozenset[str]:
    """The features with all that they build on, near and far."""
    found: set[str] = set()
    waiting = list(features)
    while waiting:
        feature = waiting.pop()
        if feature not in found:
            found.add(feature)
            waiting.extend(BUILDS_ON[feature])
    return frozenset(found)


def place_of(deck: str) -> int:
    """Where a deck stands in the course; decks that are not of the course come after it."""
    names = [step.deck for step in COURSE]
    return names.index(deck) if deck in names else len(names)


def opened_by(deck: str) -> frozenset[str] | None:
    """The signs that are open when a deck of the course is practised; None for other decks."""
    steps = {step.deck: step for step in COURSE}
    if deck not in steps:
        return None
    found: set[str] = set()
    waiting = [deck]
    seen: set[str] = set()
    while waiting:
        step = steps[waiting.pop()]
        if step.deck in seen:
            continue
        seen.add(step.deck)
        found.update((step.opens, *step.also))
        waiting.extend(step.after)
    return frozenset(found & set(FEATURES))
