"""How a learner stands, in words: expected accuracy, what is taken for what, how forecasts held.

Every figure of a sign is made from its one `Expected`, in tenths.
"""

from __future__ import annotations

import math
from datetime import date

from drillapp.learning import Expected, Forecast
from drillapp.practice.standing import Confusion, Counted

from .language import _, marked, ngettext
from .signs import way_name

MONTHS = (
    marked("%(day)d Jan"),
    marked("%(day)d Feb"),
    marked("%(day)d Mar"),
    marked("%(day)d Apr"),
    marked("%(day)d May"),
    marked("%(day)d Jun"),
    marked("%(day)d Jul"),
    marked("%(day)d Aug"),
    marked("%(day)d Sep"),
    marked("%(day)d Oct"),
    marked("%(day)d Nov"),
    marked("%(day)d Dec"),
)
LONG_MONTHS = (
    marked("%(day)d January %(year)d"),
    marked("%(day)d February %(year)d"),
    marked("%(day)d March %(year)d"),
    marked("%(day)d April %(year)d"),
    marked("%(day)d May %(year)d"),
    marked("%(day)d June %(year)d"),
    marked("%(day)d July %(year)d"),
    marked("%(day)d August %(year)d"),
    marked("%(day)d September %(year)d"),
    marked("%(day)d October %(year)d"),
    marked("%(day)d November %(year)d"),
    marked("%(day)d December %(year)d"),
)
ENOUGH = 50  # signs read, from which forecasts can be judged by what happened


def confusion(one: Confusion) -> str:
    """What is taken for what, and how often: ``Tied on read as struck: 4 of 9.``"""
    words = _("%(written)s read as %(read)s: %(wrong)d of %(of)d.") % {
        "written": way_name(one.written),
        "read": way_name(one.read),
        "wrong": one.wrong,
        "of": one.of,
    }
    return words[:1].upper() + words[1:]


def figure(one: Expected) -> str:
    """A sign's one figure, as short as can be: ``5 in 10``; empty where nothing can be told yet."""
    return _("%(ten)d in 10") % {"ten": one.tenths} if one.known else ""


def reads_about(one: Expected) -> str:
    """The figure within a sentence: ``reads about 5 in 10``."""
    if not one.known:
        return _("nothing can be told yet")
    return _("reads about %(ten)d in 10") % {"ten": one.tenths}


def weak_and_figure(weak: bool, one: Expected) -> str:
    """A sign's figure, and over it whether it is weak."""
    return _("weak\n%(figure)s") % {"figure": figure(one)} if weak else figure(one)


def untold(one: Expected, opened: bool) -> str:
    """What stands in place of a range where there is none to be shown; empty where there is one."""
    if one.known:
        return ""
    if one.count:
        return _("nothing can be told yet")
    return _("no answers yet") if opened else _("not opened yet")


def expected_today(one: Expected, opened: bool = True) -> str:
    """How a sign is expected to read today, with its range."""
    if not one.count:
        return unasked(opened)
    if not one.known:
        return _("Nothing can be told yet: the range that it may lie in is wider than half the scale.")
    low, high = math.floor(10 * one.low), math.ceil(10 * one.high)
    return _("Expected today: reads about %(ten)d in 10, somewhere from %(low)d to %(high)d.") % {
        "ten": one.tenths,
        "low": low,
        "high": high,
    }


def ahead(one: Forecast) -> str:
    """What today's drill is expected to do for a sign in two weeks; figures only where they surely differ."""
    if not (one.drilled.known and one.without.known):
        return _("For two weeks from now nothing can be told yet.")
    if one.differs:
        return _("In two weeks: about %(drilled)d in 10 with today's drill, about %(without)d without.") % {
            "drilled": one.drilled.tenths,
            "without": one.without.tenths,
        }
    if not one.asked:
        return _("Today's drill does not ask it.")
    return _("One drill makes too little difference in two weeks to be told in figures.")


def over_chart(differs: bool) -> str:
    """What the chart of a sign shows; ``differs``: it has two ends, with and without today's drill."""
    if differs:
        return _(
            "Expected at the end of each day practised, then in two weeks: ring with today's drill, square "
            "without"
        )
    return _("Expected at the end of each day practised, then in two weeks without practice")


def counted_heading() -> str:
    """What stands over the table of counts, which says that they are not what is expected."""
    return _("All answers so far, counted: not what is expected today")


def counts_of(one: Counted) -> tuple[str, str, str]:
    """A row of the table of counts: answers, right, and the share without guessing of 100 with its range."""
    if not one.count:
        return "0", "", ""
    share = _("%(share)d (%(low)d to %(high)d)") % {
        "share": round(100 * one.middle),
        "low": round(100 * one.low),
        "high": round(100 * one.high),
    }
    return f"{one.count:,}", f"{one.right:,}", share


def most_a_day(most: float, minutes: bool) -> str:
    """What the top line of a chart of days stands for; empty where all days are empty."""
    if not most:
        return ""
    if minutes:
        return ngettext("%(count)d minute", "%(count)d minutes", round(most)) % {"count": round(most)}
    return ngettext("%(count)d question", "%(count)d questions", round(most)) % {"count": round(most)}


def more_on_progress(count: int) -> str:
    """That so many open signs are not in the list; empty where none is."""
    if not count:
        return ""
    return ngettext("%(count)d more on Progress", "%(count)d more on Progress", count) % {"count": count}


def unasked(opened: bool) -> str:
    """What is said of a sign without answers."""
    return _("No answers yet.") if opened else _("Not opened yet: the signs that it builds on come first.")


def forecasts_held(count: int, error: float) -> str:
    """How far forecasts and what happened lie apart on average, over ``count`` signs read."""
    if not count:
        return _("No answers yet, so there is nothing to compare.")
    words = ngettext(
        "%(count)s sign read. Forecast and what happened lie %(apart).1f in 100 apart on average.",
        "%(count)s signs read. Forecast and what happened lie %(apart).1f in 100 apart on average.",
        count,
    ) % {"count": f"{count:,}", "apart": 100 * error}
    return words if count >= ENOUGH else f"{words} {_('That is too few to judge by.')}"


def short_day(day: date) -> str:
    """A day within the year: ``3 Nov``."""
    return _(MONTHS[day.month - 1]) % {"day": day.day}


def long_day(day: date) -> str:
    """A day with its year: ``3 November 2026``."""
    return _(LONG_MONTHS[day.month - 1]) % {"day": day.day, "year": day.year}
