"""The plan, the drill and its end in words: how much, how long, and why each line is there."""

from __future__ import annotations

from drillapp.drills.plan import NO_FRESH, WAITS, Change, Reason
from drillapp.learning import FRESH, REACH, REFRESH, REPAIR

from .language import _, ngettext
from .signs import listed, title

DAY = 86_400.0


def drill_heading(questions: int, minutes: float, unfinished: bool) -> str:
    """What stands over the plan: how long the drill is, or how much is left of the one that was begun."""
    if unfinished:
        return ngettext(
            "The drill you began, %(count)d question left",
            "The drill you began, %(count)d questions left",
            questions,
        ) % {"count": questions}
    whole = max(1, round(minutes))
    return ngettext("This drill, about a minute", "This drill, about %(count)d minutes", whole) % {
        "count": whole
    }


def summary_heading(questions: int, seconds: float, right: int) -> str:
    """What a drill came to."""
    return ngettext(
        "%(count)d question in %(time)s, %(right)d right",
        "%(count)d questions in %(time)s, %(right)d right",
        questions,
    ) % {"count": questions, "time": spent(seconds), "right": right}


def spent(seconds: float) -> str:
    """A time to the minute: ``4 minutes``."""
    minutes = round(seconds / 60)
    if minutes < 1:
        return _("under a minute")
    return ngettext("a minute", "%(count)d minutes", minutes) % {"count": minutes}


def question_place(number: int, of: int) -> str:
    """Where in a drill a question stands; a check (``of`` 0) has no number of pages set beforehand."""
    if of:
        return _("%(number)d of %(of)d") % {"number": number, "of": of}
    return _("page %(number)d") % {"number": number}


def why_there(reason: Reason) -> str:
    """Why a line is in the plan, for the learner: ``repair · reads about 6 in 10``."""
    why = reason.why
    if reason.feature == FRESH:
        return _("never seen before · mixed signs")
    if why == REPAIR:
        return _("repair · reads about %(ten)d in 10") % {"ten": round(10 * reason.expected)}
    if why == REFRESH and reason.since is not None:
        return _refresh(reason.since)
    if why == REACH:
        return _("reach · opens today") if not reason.count else _("reach · opened lately")
    return _("refresh · never seen before") if why == REFRESH else _("never seen before")


def changed(change: Change) -> str:
    """That a question stands under another line than Today showed, and why."""
    places = {
        "sign": title(change.planned.features[0]),
        "planned": listed(change.planned.features[:1]),
        "instead": listed(change.instead.features[:1]),
    }
    if change.code == WAITS:
        said = _("%(sign)s: to be opened once these are read surely: %(on)s. This question: %(instead)s.")
        return said % {**places, "on": listed((change.on,))}
    if change.code == NO_FRESH:
        return (
            _("No fresh pattern could be made here. This question is from the decks: %(instead)s.") % places
        )
    return _("No pattern at hand can ask this: %(planned)s. This question: %(instead)s.") % places


def _refresh(seconds: float) -> str:
    days = seconds / DAY
    if days < 1:
        return _("refresh · some hours since the last")
    if 6.5 <= days < 7.5:
        return _("refresh · a week since the last")
    if days < 13:
        number = 1 if days < 2 else round(days)
        return ngettext(
            "refresh · a day since the last", "refresh · %(count)d days since the last", number
        ) % {"count": number}
    number = round(days / 7)
    return ngettext(
        "refresh · %(count)d week since the last", "refresh · %(count)d weeks since the last", number
    ) % {"count": number}
