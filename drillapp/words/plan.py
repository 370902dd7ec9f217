"""The plan, the drill and its end in words: how much, how long, and why each line is there."""

from __future__ import annotations

from collections.abc import Sequence

from drillapp.drills.plan import NO_FRESH, WAITS, Change, Reason
from drillapp.learning import FRESH, REACH, REFRESH, REPAIR
from drillapp.practice.plan import PlanLine
from drillapp.practice.sitting import SummaryLine

from .language import _, ngettext
from .signs import listed, title
from .standing import reads_about

DAY = 86_400.0


def drill_heading(questions: int, minutes: float, unfinished: bool) -> str:
    """What stands over the plan: how long the drill is, or how much is left of the one that was begun."""
    if unfinished:
        return ngettext(
            "The drill you began, %(count)d question left",
            "The drill you began, %(count)d questions left",
            questions,
        ) % {"count": questions}
    time = spent(60 * max(1, round(minutes)))
    return ngettext(
        "%(count)d question, about %(time)s", "%(count)d questions, about %(time)s", questions
    ) % {"count": questions, "time": time}


def more_lines(signs: int) -> str:
    """How many more signs a plan holds than it shows lines of; empty where it shows all."""
    if not signs:
        return ""
    return ngettext("and %(count)d more sign", "and %(count)d more signs", signs) % {"count": signs}


def summary_heading(questions: int, seconds: float) -> str:
    """What a drill came to."""
    return ngettext("%(count)d question in %(time)s", "%(count)d questions in %(time)s", questions) % {
        "count": questions,
        "time": spent(seconds),
    }


def what_moved(better: Sequence[SummaryLine], asked: bool) -> str:
    """What got better in a drill, in one sentence; ``asked``: whether any sign was asked."""
    if not asked:
        return _("No sign was asked, so none has moved.")
    if not better:
        return _("No sign has moved far enough to be told after one drill.")
    if len(better) > 1:
        return _("Better than before: %(signs)s.") % {"signs": listed(line.feature for line in better)}
    one = better[0]
    return _("%(sign)s: about %(now)d in 10 now, before this drill about %(before)d.") % {
        "sign": title(one.feature),
        "now": one.after.tenths,
        "before": one.before.tenths,
    }


def what_comes(lines: Sequence[PlanLine], unfinished: bool) -> str:
    """What the next drill asks most, in one sentence; ``unfinished``: it is one that was begun."""
    signs = list(dict.fromkeys(line.feature for line in lines if line.feature != FRESH))[:2]
    if not signs:
        return _("Next come patterns never seen before.")
    if unfinished:
        return _("Next, the rest of the drill that you began: mostly %(signs)s.") % {"signs": listed(signs)}
    return _("The next drill asks most about these: %(signs)s.") % {"signs": listed(signs)}


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
    if why == REPAIR and reason.expected is not None:
        if not reason.expected.known:
            return _("reach · nothing can be told yet")
        return _("repair · %(reads)s") % {"reads": reads_about(reason.expected)}
    if why == REFRESH and reason.since is not None:
        return _refresh(reason.since)
    if why == REACH:
        met = reason.expected is not None and reason.expected.count
        return _("reach · opened lately") if met else _("reach · opens today")
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
