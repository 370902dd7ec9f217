"""A class and its students in words: what most misread, who was seen when, what is weak, what is missing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from drillapp.desk.class_table import LINE, MisreadByMost
from drillapp.desk.class_view import NAME, SEEN
from drillapp.desk.student import ReadAs, SignFigures, Strummed, StudentFigures
from drillapp.records.work_rows import WorkDone

from .language import _, marked, ngettext
from .set_work import days
from .signs import listed, title, way_name
from .standing import long_day, short_day

ORDERS: dict[str, str] = {NAME: marked("by name"), SEEN: marked("longest away first")}


def by_most(found: Sequence[MisreadByMost]) -> str:
    """What most of the class misreads, in one sentence; where nothing is, so."""
    if not found:
        return _("No sign is misread by most of this class, as far as the answers tell.")
    one = found[0]
    places = {
        "sign": title(one.feature),
        "below": one.below,
        "of": one.of,
        "line": round(10 * LINE),
        "written": way_name(one.written) if one.written else "",
        "read": way_name(one.read) if one.read else "",
    }
    if one.read is None:
        return (
            _(
                "%(sign)s are misread by most of this class: %(below)d of %(of)d read fewer than "
                "%(line)d in 10."
            )
            % places
        )
    return (
        _(
            "%(sign)s are misread by most of this class: %(below)d of %(of)d read fewer than %(line)d in 10, "
            "usually %(written)s read as %(read)s."
        )
        % places
    )


def evidence(one: MisreadByMost) -> str:
    """What such a sentence rests on."""
    weeks = ngettext("%(count)d week", "%(count)d weeks", one.weeks) % {"count": one.weeks}
    return _("%(answers)s answers, %(weeks)s") % {"answers": f"{one.answers:,}", "weeks": weeks}


def others_by_most(found: Sequence[MisreadByMost]) -> str:
    """Which further signs most of the class misreads; empty where there is none."""
    rest = [one.feature for one in found[1:]]
    return _("Also: %(signs)s.") % {"signs": listed(rest)} if rest else ""


def seen(day: date | None, today: date) -> str:
    """When a student was last seen: ``today``, ``9 days``, ``3 Nov``."""
    if day is None:
        return _("never")
    gone = (today - day).days
    if gone <= 0:
        return _("today")
    if gone > 60:
        return short_day(day)
    return ngettext("%(count)d day ago", "%(count)d days ago", gone) % {"count": gone}


def work(done: WorkDone | None, handed_in: bool) -> str:
    """What is done of the set work, in a few words."""
    if not handed_in:
        return _("not handed in")
    return "" if done is None else days(done)


def minutes(count: float) -> str:
    """Minutes practised, short: ``41 min``."""
    return _("%(count)d min") % {"count": round(count)}


def legend(absent: int) -> str:
    """How the table of a class is read."""
    said = _(
        "Bar: range of what is read right, without guessing; tick: estimate. Thick and angular: weak. "
        "Hollow: too few answers to tell. Dash: never read."
    )
    if not absent:
        return said
    return (
        said
        + " "
        + ngettext(
            "%(count)d has not handed in.",
            "%(count)d have not handed in.",
            absent,
        )
        % {"count": absent}
    )


def order_name(order: str) -> str:
    """An order of the students."""
    return _(ORDERS[order])


def period(weeks: int | None) -> str:
    """A time looked at."""
    if weeks is None:
        return _("all answers")
    return ngettext("%(count)d week", "%(count)d weeks", weeks) % {"count": weeks}


def heading(figures: StudentFigures) -> str:
    """How much there is of a student, and from when to when."""
    if not figures.answers or figures.first is None or figures.last is None:
        return _("No answers yet: nothing was handed in.")
    return ngettext(
        "%(count)s answer on %(days)d days, %(minutes)d minutes, from %(first)s to %(last)s",
        "%(count)s answers on %(days)d days, %(minutes)d minutes, from %(first)s to %(last)s",
        figures.answers,
    ) % {
        "count": f"{figures.answers:,}",
        "days": figures.days,
        "minutes": round(figures.minutes),
        "first": long_day(figures.first),
        "last": long_day(figures.last),
    }


def diagnosis(figures: StudentFigures, error_rate: float) -> str:
    """What is surely weak, what looks so and needs more, at the rate of false names."""
    rate = round(100 * error_rate)
    if figures.weak:
        said = _("Weak: %(signs)s (wrongly named in at most %(rate)d of 100 students).") % {
            "signs": listed(figures.weak),
            "rate": rate,
        }
    elif figures.answers:
        said = _("No sign is surely weak.")
    else:
        return _("The shortest way to know: a Reading check of five minutes, then hand in.")
    lacking = [_missing(one) for one in figures.signs if one.missing]
    if not lacking:
        return said
    return _("%(said)s To be sure: %(missing)s. A Reading check asks just these.") % {
        "said": said,
        "missing": ", ".join(lacking),
    }


def sign_note(one: SignFigures) -> str:
    """A sign's figure with its range, of 100, or that there is too little to tell."""
    if one.all.high - one.all.low > 0.5:
        return _("nothing can be told yet")
    said = _("%(low)d to %(high)d in 100") % {
        "low": round(100 * one.all.low),
        "high": round(100 * one.all.high),
    }
    return _("weak: %(said)s") % {"said": said} if one.weak else said


def first_and_met(one: SignFigures) -> str:
    """First-seen beside met-before pages."""
    return _("never seen: %(fresh)s; met before: %(met)s") % {
        "fresh": _share(one.first_seen.count, one.first_seen.middle),
        "met": _share(one.met_before.count, one.met_before.middle),
    }


def read_as(one: ReadAs) -> str:
    """``tied on read as struck: 7 of 24``"""
    return _("%(written)s read as %(read)s: %(times)d of %(of)d") % {
        "written": way_name(one.written),
        "read": way_name(one.read),
        "times": one.times,
        "of": one.of,
    }


def timing(one: Strummed | None) -> str:
    """Timing and steadiness of strummed pages."""
    if one is None:
        return _("No page was strummed yet.")
    lead = round(1000 * abs(one.lead))
    places = {"count": one.takes, "lead": lead, "spread": round(1000 * one.steadiness)}
    if one.lead >= 0:
        said = ngettext(
            "%(count)d page strummed: %(lead)d ms early on the whole, spread %(spread)d ms.",
            "%(count)d pages strummed: %(lead)d ms early on the whole, spread %(spread)d ms.",
            one.takes,
        )
    else:
        said = ngettext(
            "%(count)d page strummed: %(lead)d ms late on the whole, spread %(spread)d ms.",
            "%(count)d pages strummed: %(lead)d ms late on the whole, spread %(spread)d ms.",
            one.takes,
        )
    return said % places


def misread(wrong: int, of: int) -> str:
    """How often a page was misread."""
    return _("misread %(wrong)d of %(of)d times") % {"wrong": wrong, "of": of}


def _missing(one: SignFigures) -> str:
    assert one.missing is not None
    return _("about %(count)d more on %(sign)s") % {"count": one.missing, "sign": listed((one.feature,))}


def _share(count: int, middle: float) -> str:
    if not count:
        return _("none yet")
    return ngettext("%(ten)d in 10 (%(count)d read)", "%(ten)d in 10 (%(count)d read)", count) % {
        "ten": round(10 * middle),
        "count": count,
    }


def ask_delete(name: str, answers: int) -> str:
    """What stands over the buttons before a student is deleted."""
    return ngettext(
        "Delete %(name)s with %(count)s answer for good? What comes of the same record later is left "
        "out too. An export first keeps a copy as a file.",
        "Delete %(name)s with %(count)s answers for good? What comes of the same record later is left out "
        "too. An export first keeps a copy as a file.",
        answers,
    ) % {"name": name, "count": f"{answers:,}"}


def deleted(name: str, answers: int) -> str:
    """Said once a student is deleted."""
    return ngettext(
        "%(name)s is deleted, with %(count)s answer.",
        "%(name)s is deleted, with %(count)s answers.",
        answers,
    ) % {"name": name, "count": f"{answers:,}"}


def one_now(name: str, other: str) -> str:
    """Said once two students are joined."""
    return _("What %(other)s has done counts for %(name)s now. Part them again to undo it.") % {
        "name": name,
        "other": other,
    }


def parted(other: str) -> str:
    """Said once two students stand apart again."""
    return _("%(other)s stands alone again.") % {"other": other}


def record_note(records: int, last: date | None) -> str:
    """From how many devices a student's answers are, and the day of the last."""
    if not records or last is None:
        return ""
    return ngettext("%(count)d device, last %(day)s", "%(count)d devices, last %(day)s", records) % {
        "count": records,
        "day": long_day(last),
    }
