"""The course: which sign builds on which, and which deck opens which sign.

One table for the planner (a sign opens when those it builds on hold), for fresh patterns (which signs may
stand beside the ones asked for) and for `drillapp check` (signs used before their deck).
The order is common practice in teaching strumming (no source): first the beat, then what lies between; songs
soon; what the ear has before what the paper says; phrases from the middle on; the staff alone beside it all.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .feature_table import FEATURE_TABLE, FEATURES

#: feature -> the features it builds on
BUILDS_ON: dict[str, tuple[str, ...]] = {name: row.builds_on for name, row in FEATURE_TABLE.items()}


@dataclass(frozen=True)
class Step:
    """A deck of the course: why it stands where it does, the sign it opens ("" where it only mixes), and
    the decks it builds on. ``beside``: a track of its own, which nothing waits for."""

    deck: str
    opens: str
    after: tuple[str, ...]
    why: str
    also: tuple[str, ...] = ()  # other signs that its page must show
    beside: bool = False


COURSE: tuple[Step, ...] = (
    Step(
        "on-the-beat",
        "beat",
        (),
        "The count comes first; whole notes show dashes in letters, and the staff always shows a meter.",
        also=("skip", "meter"),
    ),
    Step("offbeats", "offbeat", ("on-the-beat",), "Halving the beat is the first thing an arm can do."),
    Step(
        "eighth-downs",
        "direction",
        ("offbeats",),
        "Eighths in downs are in many first songs, and show that the arm always comes back.",
    ),
    Step("skips", "skip", ("offbeats",), "An arm that keeps going can leave a stroke out."),
    Step("ties", "tie", ("skips",), "A stroke left out on a beat is what most song strums have."),
    Step("folk-strums", "", ("ties",), "Whole songs as soon as they can be read keep people playing."),
    Step("three-in-a-bar", "meter", ("skips",), "Songs in three need nothing but another count."),
    Step("rests", "rest", ("skips",), "Silence is told from ringing on once ringing on is known."),
    Step("mutes", "mute", ("ties", "rests"), "A scratch stands where a drum would; it needs both hands."),
    Step("accents", "accent", ("mutes",), "Leaning on the backbeat comes easily after scratching it."),
    Step("stops", "", ("accents", "three-in-a-bar"), "Offbeat styles are rests and mutes on one page."),
    Step("drive", "", ("accents", "eighth-downs"), "Driven eighths are downs, mutes and accents together."),
    Step("mixed-eighths", "", ("stops",), "Everything in eighths, before beats divide further."),
    Step(
        "staff-alone",
        "",
        ("mixed-eighths",),
        "Whoever reads eighths can begin to leave the letters; a little at a time, beside all that follows.",
        beside=True,
    ),
    Step("phrases", "", ("mixed-eighths",), "Reading ahead over bars is learnt on rhythms that are known."),
    Step("swing", "swing", ("mixed-eighths",), "Swing is had by ear from eighths that look the same."),
    Step("sixteenths", "sixteenth", ("mixed-eighths",), "The arm goes twice as fast; the pairs stay whole."),
    Step("sixteenth-skips", "", ("sixteenths",), "What was learnt of skips and ties, at half the size."),
    Step("sixteenth-shapes", "", ("sixteenth-skips",), "One skip in each place makes four shapes familiar."),
    Step("sixteenth-mutes", "", ("sixteenth-shapes",), "A mute in each place, once the places are sure."),
    Step("sixteenth-grooves", "", ("sixteenth-mutes",), "Rings, scratches and skips as they are played."),
    Step("compound", "compound", ("mixed-eighths",), "Beats in three are met as the meter's own first."),
    Step(
        "triplets",
        "triplet",
        ("swing",),
        "On paper a triplet explains what the ear has from swing.",
    ),
    Step(
        "compound-hands",
        "",
        ("compound", "sixteenths", "eighth-downs"),
        "Six eighths with both hands' ways, once a down on each big beat is sure.",
    ),
    Step("two-in-a-bar", "", ("sixteenths",), "Two half notes look like four quarters: a second look."),
    Step(
        "claves",
        "",
        ("two-in-a-bar", "compound", "sixteenth-mutes"),
        "Five strokes over two bars need the eye ahead and the count underneath.",
    ),
    Step(
        "against-the-hand",
        "",
        ("drive",),
        "Strokes on purpose against the arm, when the arm no longer needs thought.",
    ),
    Step("five-and-seven", "", ("compound",), "Twos and threes in one bar, when each is known alone."),
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
