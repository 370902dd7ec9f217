"""What is said after a pick: the verdict, what was written and what was read instead, what each page is."""

from __future__ import annotations

from drillapp.drills import Explanation, Told
from drillapp.drills.explain import PASSED_BY
from drillapp.music import Pattern
from drillapp.music.ways import ACCENTED, EVEN, MUTED, PLAIN, RINGING, SILENT, STRUCK, SWUNG

from .language import _, marked, ngettext
from .places import place_name
from .signs import beats_of

HERE, LATER = "here", "a slot later"
DOWN, UP = "down", "up"
IN_TWO, IN_THREE = "in two", "in three"
#: what was written; but for the number of beats, which has a plural
WRITTEN: dict[str, str] = {
    STRUCK: marked("On %(place)s the chord is struck."),
    MUTED: marked("On %(place)s the stroke is muted."),
    RINGING: marked("On %(place)s the chord rings on."),
    PASSED_BY: marked("On %(place)s the hand passes by."),
    SILENT: marked("On %(place)s the strings are silent."),
    ACCENTED: marked("On %(place)s the stroke is accented."),
    PLAIN: marked("On %(place)s the stroke has no accent."),
    HERE: marked("The stroke stands on %(place)s: the hand strikes there and passes by on %(next)s."),
    LATER: marked("The stroke stands on %(next)s: the hand passes by on %(place)s and strikes there."),
    DOWN: marked("On %(place)s the hand strikes down."),
    UP: marked("On %(place)s the hand strikes up."),
    IN_TWO: marked("On %(place)s the beat is in two."),
    IN_THREE: marked("On %(place)s the beat is in three."),
    EVEN: marked("The offbeats are even."),
    SWUNG: marked("The offbeats swing, long-short."),
}
#: what was chosen, where one thing was misread
CHOSEN: dict[str, str] = {
    STRUCK: marked("The one you chose strikes it."),
    MUTED: marked("The one you chose mutes it."),
    RINGING: marked("The one you chose lets the chord ring on."),
    PASSED_BY: marked("The one you chose lets the hand pass by."),
    SILENT: marked("The one you chose has silence there."),
    ACCENTED: marked("The one you chose accents it."),
    PLAIN: marked("The one you chose leaves the accent out."),
    HERE: marked("The one you chose strikes on %(place)s already."),
    LATER: marked("The one you chose passes by on %(place)s and strikes on %(next)s."),
    DOWN: marked("The one you chose strikes down."),
    UP: marked("The one you chose strikes up."),
    IN_TWO: marked("The one you chose has it in two."),
    IN_THREE: marked("The one you chose has it in three."),
    EVEN: marked("The one you chose plays them even."),
    SWUNG: marked("The one you chose swings them."),
}
STRUCK_AGAIN = marked("The one you chose strikes it again.")
#: what was written and what was chosen, in one sentence each, where two things were misread at once
MISREAD: dict[tuple[str, str], str] = {
    (STRUCK, MUTED): marked("On %(place)s the chord is struck where yours mutes it."),
    (STRUCK, RINGING): marked("On %(place)s the chord is struck where yours lets the chord ring on."),
    (STRUCK, PASSED_BY): marked("On %(place)s the chord is struck where yours lets the hand pass by."),
    (STRUCK, SILENT): marked("On %(place)s the chord is struck where yours has silence there."),
    (MUTED, STRUCK): marked("On %(place)s the stroke is muted where yours strikes it."),
    (MUTED, RINGING): marked("On %(place)s the stroke is muted where yours lets the chord ring on."),
    (MUTED, PASSED_BY): marked("On %(place)s the stroke is muted where yours lets the hand pass by."),
    (MUTED, SILENT): marked("On %(place)s the stroke is muted where yours has silence there."),
    (RINGING, STRUCK): marked("On %(place)s the chord rings on where yours strikes it again."),
    (RINGING, MUTED): marked("On %(place)s the chord rings on where yours mutes it."),
    (RINGING, SILENT): marked("On %(place)s the chord rings on where yours has silence there."),
    (PASSED_BY, STRUCK): marked("On %(place)s the hand passes by where yours strikes it."),
    (PASSED_BY, MUTED): marked("On %(place)s the hand passes by where yours mutes it."),
    (PASSED_BY, SILENT): marked("On %(place)s the hand passes by where yours has silence there."),
    (SILENT, STRUCK): marked("On %(place)s the strings are silent where yours strikes it."),
    (SILENT, MUTED): marked("On %(place)s the strings are silent where yours mutes it."),
    (SILENT, RINGING): marked("On %(place)s the strings are silent where yours lets the chord ring on."),
    (SILENT, PASSED_BY): marked("On %(place)s the strings are silent where yours lets the hand pass by."),
    (ACCENTED, PLAIN): marked("On %(place)s the stroke is accented where yours leaves the accent out."),
    (PLAIN, ACCENTED): marked("On %(place)s the stroke has no accent where yours accents it."),
    (HERE, LATER): marked(
        "The stroke stands on %(place)s where yours passes by there and strikes on %(next)s."
    ),
    (LATER, HERE): marked("The stroke stands on %(next)s where yours strikes on %(place)s already."),
    (DOWN, UP): marked("On %(place)s the hand strikes down where yours strikes up."),
    (UP, DOWN): marked("On %(place)s the hand strikes up where yours strikes down."),
    (IN_TWO, IN_THREE): marked("On %(place)s the beat is in two where yours has it in three."),
    (IN_THREE, IN_TWO): marked("On %(place)s the beat is in three where yours has it in two."),
    (EVEN, SWUNG): marked("The offbeats are even where yours swings them."),
    (SWUNG, EVEN): marked("The offbeats swing, long-short, where yours plays them even."),
}


def explained(explanation: Explanation) -> str:
    """What was written and, where it was misread, what was chosen; a sentence or two for each place."""
    pattern, told = explanation.pattern, explanation.told
    if len(told) == 1:
        one = told[0]
        written = _written(pattern, one)
        return written if one.read is None else f"{written} {_chosen(pattern, one)}"
    return " ".join(_written(pattern, one) if one.read is None else _misread(pattern, one) for one in told)


def pick_verdict(written: str, chosen: str | None) -> str:
    """The heading after a pick: ``written`` and ``chosen`` are the candidates' letters, None for Not sure."""
    if chosen is None:
        return _("It was %(written)s") % {"written": written}
    if chosen == written:
        return _("Right")
    return _("Not %(chosen)s: it was %(written)s") % {"chosen": chosen, "written": written}


def written_page(from_page: bool, letter: str) -> str:
    """What stands over the pattern that was asked: it was seen, or heard."""
    words = _("Written, %(letter)s") if from_page else _("What you heard, %(letter)s")
    return words % {"letter": letter}


def chosen_page(letter: str) -> str:
    """What stands over the pattern that was chosen instead."""
    return _("You chose %(letter)s") % {"letter": letter}


def _written(pattern: Pattern, told: Told) -> str:
    beats = beats_of(told.written)
    if beats is not None:
        return ngettext("The bar has %(count)d beat.", "The bar has %(count)d beats.", beats) % {
            "count": beats
        }
    return _(WRITTEN[told.written]) % _places(pattern, told.index)


def _places(pattern: Pattern, index: int) -> dict[str, str]:
    """The place that is told of, and the one after it where there is one."""
    following = min(index + 1, len(pattern.places) - 1)
    return {"place": place_name(pattern, index), "next": place_name(pattern, following)}


def _chosen(pattern: Pattern, told: Told) -> str:
    assert told.read is not None  # it was misread
    beats = beats_of(told.read)
    if beats is not None:
        return ngettext(
            "The one you chose has %(count)d beat.", "The one you chose has %(count)d beats.", beats
        ) % {"count": beats}
    words = STRUCK_AGAIN if (told.written, told.read) == (RINGING, STRUCK) else CHOSEN[told.read]
    return _(words) % _places(pattern, told.index)


def _misread(pattern: Pattern, told: Told) -> str:
    assert told.read is not None
    written, read = beats_of(told.written), beats_of(told.read)
    if written is not None and read is not None:
        return ngettext(
            "The bar has %(written)d beats where yours has %(count)d beat.",
            "The bar has %(written)d beats where yours has %(count)d beats.",
            read,
        ) % {"written": written, "count": read}
    return _(MISREAD[told.written, told.read]) % _places(pattern, told.index)
