"""What the hand does at a place of a page, in a sentence, and what sign stands there."""

from __future__ import annotations

from collections.abc import Sequence

from drillapp.drills.explain import PASSED_BY, Explanation, motion
from drillapp.music import Pattern
from drillapp.music.slots import Hand, has_hand_rule, natural_hand
from drillapp.music.ways import ACCENTED, EVEN, MUTED, PLAIN, RINGING, SILENT, STRUCK, SWUNG

from .language import _, marked, ngettext
from .signs import beats_of

#: what the hand does there, where it moves down and where it moves up
MOVES: dict[str, tuple[str, str]] = {
    STRUCK: (
        marked("There the hand strikes on its way down."),
        marked("There the hand strikes on its way up."),
    ),
    MUTED: (
        marked("There the hand strikes on its way down, on damped strings."),
        marked("There the hand strikes on its way up, on damped strings."),
    ),
    RINGING: (
        marked("There the hand goes down without touching the strings."),
        marked("There the hand comes up without touching the strings."),
    ),
    SILENT: (
        marked("There a hand lies on the strings in place of a down-stroke."),
        marked("There a hand lies on the strings in place of an up-stroke."),
    ),
    ACCENTED: (
        marked("There the hand strikes on its way down with a little more force."),
        marked("There the hand strikes on its way up with a little more force."),
    ),
    PLAIN: (
        marked("There the hand strikes on its way down with no more force than elsewhere."),
        marked("There the hand strikes on its way up with no more force than elsewhere."),
    ),
    "here": (
        marked("The hand strikes it on its way down."),
        marked("The hand strikes it on its way up."),
    ),
}
MOVES |= {PASSED_BY: MOVES[RINGING], "a slot later": MOVES["here"]}
#: with the motion that the hand has there, and against it
DIRECTED: dict[str, tuple[str, str]] = {
    "down": (
        MOVES[STRUCK][0],
        marked("The hand swings up first without touching the strings, then strikes down."),
    ),
    "up": (
        MOVES[STRUCK][1],
        marked("The hand swings down first without touching the strings, then strikes up."),
    ),
}
WHOLE: dict[str, str] = {
    "in two": marked("Within that beat the hand goes down once and up once, evenly."),
    "in three": marked("Within that beat the hand makes three even motions, the first of them down."),
    EVEN: marked("The hand comes up exactly halfway between two beats."),
    SWUNG: marked("The hand comes up late, close to the next down."),
}
A_BEAT = marked("a beat")
AN_OFFBEAT = marked("an offbeat")
A_SKIP = marked("a skip")
A_REST = marked("a rest")
A_SIXTEENTH = marked("a sixteenth")
OF_A_TRIPLET = marked("one of a triplet")
OF_A_BEAT = marked("one of a beat in three")


def hand_there(explanation: Explanation) -> str:
    """What the hand does at the first place that is told of, as written."""
    one = explanation.told[0]
    beats = beats_of(one.written)
    if beats is not None:
        return ngettext(
            "The hand begins again with the heaviest down-stroke after %(count)d beat.",
            "The hand begins again with the heaviest down-stroke after %(count)d beats.",
            beats,
        ) % {"count": beats}
    if one.written in WHOLE:
        return _(WHOLE[one.written])
    later = one.written == "a slot later" and one.index + 1 < len(explanation.pattern.places)
    hand = motion(explanation.pattern, one.index + later)
    if one.written in DIRECTED:
        place = explanation.pattern.places[one.index]
        ruled = has_hand_rule(place.number, place.of)
        against = ruled and one.written != natural_hand(place.number, place.of)
        return _(DIRECTED[one.written][against])
    return _(MOVES[one.written][hand == "up"])


def sign_at(pattern: Pattern, index: int) -> str:
    """What stands at a slot, by name: ``an offbeat``, ``a skip``."""
    place = pattern.places[index]
    if not place.struck:
        return _(A_SKIP if place.slot.action == "ring" else A_REST)
    if pattern.meter.is_compound(place.beat) and place.of % 3 == 0:
        return _(OF_A_BEAT)
    if place.of % 3 == 0:
        return _(OF_A_TRIPLET)
    if not place.number:
        return _(A_BEAT)
    return _(AN_OFFBEAT if 2 * place.number == place.of else A_SIXTEENTH)


def hand_of(table: dict[str, str | Sequence[str]], verdict: str, hand: Hand) -> str:
    """The words of a verdict, by the way that the hand moves where they differ by it."""
    words = table[verdict]
    return _(words) if isinstance(words, str) else _(words[hand == "up"])
