"""The plan, the drill and its end in words: how much, how long, and why each line is there."""

from __future__ import annotations

from drillapp.learning import REACH, REFRESH, REPAIR

from .language import _, ngettext

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


def why_there(why: str, mixed: bool, expected: float, since: float | None, count: int) -> str:
    """Why a line is in the plan, for the learner: ``repair · reads about 6 in 10``.

    ``mixed``: the line is of fresh patterns; ``expected``: the accuracy expected today; ``since``: seconds
    since the sign's last answer, None without one; ``count``: answers so far.
    """
    if mixed:
        return _("never seen before · mixed signs")
    if why == REPAIR:
        return _("repair · reads about %(ten)d in 10") % {"ten": round(10 * expected)}
    if why == REFRESH and since is not None:
        return _refresh(since)
    if why == REACH:
        return _("reach · opens today") if not count else _("reach · opened lately")
    return _("refresh · never seen before") if why == REFRESH else _("never seen before")


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
