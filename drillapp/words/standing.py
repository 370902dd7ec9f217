"""How a learner stands, in words: expected accuracy, what is taken for what, how forecasts held."""

from __future__ import annotations

from datetime import date

from drillapp.practice.standing import Confusion

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


def expected_today(share: float, drilled: float | None = None, without: float | None = None) -> str:
    """How a sign is expected to read today and, where given, in two weeks with and without today's drill."""
    today = _("Expected today: reads about %(ten)d in 10.") % {"ten": round(10 * share)}
    if drilled is None or without is None:
        return today
    return _(
        "Expected today: reads about %(ten)d in 10. Of 100 in two weeks: %(drilled)d with today's drill, "
        "%(without)d without."
    ) % {"ten": round(10 * share), "drilled": round(100 * drilled), "without": round(100 * without)}


def weak_and_count(weak: bool, count: int) -> str:
    """How many answers stand behind a range, and over it whether the sign is weak; empty without answers."""
    number = str(count) if count else ""
    return _("weak\n%(count)s") % {"count": number} if weak else number


def right_of(right: int, count: int) -> str:
    """How many were read right of how many."""
    return _("%(right)d of %(count)d right") % {"right": right, "count": count}


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
