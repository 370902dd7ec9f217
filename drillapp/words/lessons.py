"""What a lesson says of its sign: what one sees, what the hand does, and how the count is said aloud."""

from __future__ import annotations

from dataclasses import dataclass

from drillapp.music import Pattern, syllables

from .language import _, marked
from .signs import SIGNS


@dataclass(frozen=True, kw_only=True)
class LessonWords:
    """One sentence each: ``see`` the sign, what the ``hand`` does, how to ``say`` the count of the bar."""

    see: str
    hand: str
    say: str


LESSON_WORDS: dict[str, LessonWords] = {
    "beat": LessonWords(
        see=marked("A stroke stands right over a number."),
        hand=marked("Your foot taps and your hand comes down, both at the same moment."),
        say=marked("Say the numbers as evenly as you walk."),
    ),
    "offbeat": LessonWords(
        see=marked("A stroke stands over the +, halfway between two numbers."),
        hand=marked("The hand strikes on its way back up, while the foot is up too."),
        say=marked("Say the count between two numbers exactly in the middle."),
    ),
    "skip": LessonWords(
        see=marked("A dash stands where a stroke could be; with arrows the place is left empty."),
        hand=marked("The hand moves just the same and passes by without touching the strings."),
        say=marked("Say the count in brackets softly: it keeps its place."),
    ),
    "tie": LessonWords(
        see=marked("A curve joins two notes in the staff."),
        hand=marked(
            "Strike the first note only: the chord rings on through the second while the hand passes by."
        ),
        say=marked("Say the count at the end of the curve softly: nothing is struck there."),
    ),
    "rest": LessonWords(
        see=marked("A rest sign stands in the staff where a note could be."),
        hand=marked("Lay a hand on the strings so that they fall silent, and wait for the next stroke."),
        say=marked("Say the count of the rest softly, over silence."),
    ),
    "mute": LessonWords(
        see=marked("An X stands in place of the letter, and an X in place of the notehead."),
        hand=marked("Strike as always, with the palm or the fretting fingers damping the strings."),
        say=marked("Say every count: a muted stroke is struck and keeps its number."),
    ),
    "accent": LessonWords(
        see=marked("The sign > stands over a stroke."),
        hand=marked("The same stroke with a little more force; the others stay as they were."),
        say=marked("Say the count under the > a little louder than the rest."),
    ),
    "sixteenth": LessonWords(
        see=marked("Four strokes fill one beat, two beams over them; the new ones stand over e and a."),
        hand=marked("The hand goes down and up twice in each beat, down on the number and on the +."),
        say=marked("Say four even syllables to the beat."),
    ),
    "triplet": LessonWords(
        see=marked("A 3 over three strokes: together they fill one beat."),
        hand=marked("Three even strokes in the time of two; the next beat begins with a down again."),
        say=marked("Say three even syllables to the beat."),
    ),
    "compound": LessonWords(
        see=marked("The upper figure counts eighths, and three of them make one beat."),
        hand=marked("Three even strokes to each beat, the first of them down."),
        say=marked("Count all the way through, a little louder where a beat begins."),
    ),
    "swing": LessonWords(
        see=marked("A mark over the bar says that two even eighths are played long, then short."),
        hand=marked("The down-stroke stays on the beat, the up-stroke comes late, close to the next down."),
        say=marked("Say what lies between two numbers late, as if it leaned on the second."),
    ),
    "direction": LessonWords(
        see=marked("A letter or arrow points the other way from the one the hand has at this place."),
        hand=marked("Swing back without touching the strings, then strike the way that is written."),
        say=marked("Say the count as ever: only the way of the hand is different."),
    ),
    "meter": LessonWords(
        see=marked("The upper figure at the start says how many beats fill each bar."),
        hand=marked("The hand keeps its motion; the first beat, the heaviest, comes back after that many."),
        say=marked("Say the numbers up to the upper figure, then begin with 1 again."),
    ),
}
LAYER_WORDS = {
    "letters": marked("in letters"),
    "arrows": marked("in arrows"),
    "counts": marked("in the counts"),
    "staff": marked("in the staff"),
    "bows": marked("as a bow mark"),
}


def see(feature: str) -> str:
    """What one sees, in a sentence."""
    return _(LESSON_WORDS[feature].see)


def hand(feature: str) -> str:
    """What the hand does, in a sentence."""
    return _(LESSON_WORDS[feature].hand)


def say(feature: str) -> str:
    """How the count is said aloud, in a sentence."""
    return _(LESSON_WORDS[feature].say)


def layer_words(layer: str) -> str:
    """Where a sign is drawn, as a caption under it."""
    return _(LAYER_WORDS[layer])


def with_it(feature: str) -> str:
    """The caption of the bar that holds the sign."""
    if feature == "beat":
        return _("A stroke on every number")
    if feature == "meter":
        return _("Three beats to the bar")
    return _("With %(signs)s") % {"signs": _(SIGNS[feature].listed)}


def without_it(feature: str) -> str:
    """The caption of the bar that does not."""
    if feature == "beat":
        return _("None on 4")
    return _("Four beats to the bar") if feature == "meter" else _("Without")


def count_row(pattern: Pattern, names: str) -> str:
    """The count of a bar, one syllable a place, those that are not struck in brackets.

    >>> from drillapp.music import parse
    >>> count_row(parse("D- DU -U DU"), "1 + 2 +")
    '1 (+) 2 + (3) + 4 +'
    """
    said = zip(pattern.places, syllables(pattern, names), strict=True)
    return " ".join(syllable if place.struck else f"({syllable})" for place, syllable in said)


def lesson_title(feature: str) -> str:
    """The name of a lesson: that of its sign."""
    return _(SIGNS[feature].title)


def state_of(met: bool, opened: bool) -> str:
    """Whether a sign was met, or is open to be asked, in a word or two for its row."""
    if met:
        return _("met")
    return _("open, not met yet") if opened else _("comes later")


def what_differs(feature: str) -> str:
    """The remark under the two bars."""
    if feature == "swing":
        return _("The mark moves with the sound. Both bars are written alike; the first swings.")
    if feature == "meter":
        return _("The mark moves with the sound. The first bar has one beat fewer.")
    return _("The mark moves with the sound. The bars differ only over the bracket.")


def try_words(counting: bool) -> str:
    """What is said while the bar is tried by hand."""
    if counting:
        return _("Listen to the clicks, then strum along from the next 1. Nothing is graded.")
    return _("Strum along: each stroke leaves its mark under the bar. Nothing is graded.")


def no_signs() -> str:
    """What is said where a page shows no sign that has a meaning to be looked up."""
    return _("There is no sign to look up on this page.")


def helped_words() -> str:
    """What looking a sign up does to the answer."""
    return _("An answer given after looking is kept, and left out of how well you read.")
