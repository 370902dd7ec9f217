"""Set work in words: what a teacher asks for, and how much of it is done."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from drillapp.records import SetWork
from drillapp.records.work_rows import WorkDone

from .language import _, marked, ngettext
from .signs import listed
from .standing import long_day, short_day

LAYERS: dict[str, str] = {
    "letters": marked("letters"),
    "arrows": marked("arrows"),
    "counts": marked("counts"),
    "staff": marked("rhythm staff"),
    "bows": marked("bow marks"),
}


def terms(work: SetWork, decks: Mapping[str, str]) -> tuple[str, ...]:
    """What a piece asks for, a sentence a line; ``decks``: the titles of the decks that are there."""
    said = [_("For %(name)s, until %(day)s.") % {"name": work.whose, "day": long_day(work.until)}]
    if work.minutes:
        said.append(
            ngettext("%(count)d minute a day.", "%(count)d minutes a day.", work.minutes)
            % {"count": work.minutes}
        )
    if work.signs:
        said.append(_("Mostly these signs: %(signs)s.") % {"signs": listed(work.signs)})
    if work.decks:
        titles = ", ".join(decks[name] for name in work.decks if name in decks)
        said.append(_("From these decks: %(decks)s.") % {"decks": titles or _("none of yours")})
    if lacking := [name for name in work.decks if name not in decks]:
        said.append(_("Not here, so left out: %(decks)s.") % {"decks": ", ".join(lacking)})
    if work.layers:
        said.append(_("The page shows: %(layers)s.") % {"layers": layers(work.layers)})
    if work.pace:
        said.append(
            _("At %(share)d in 100 of the tempo that is written.") % {"share": round(100 * work.pace)}
        )
    return tuple(said)


def layers(names: tuple[str, ...]) -> str:
    """Layers named within a sentence."""
    return ", ".join(_(LAYERS[name]) for name in names)


def running(done: WorkDone) -> str:
    """The piece that runs and how much is done, for the learner."""
    return _("Set work until %(day)s: %(done)s.") % {"day": short_day(done.work.until), "done": days(done)}


def days(done: WorkDone) -> str:
    """How much of a piece is done: ``2 of 4 days``."""
    return ngettext("%(done)d of %(of)d day", "%(done)d of %(of)d days", done.of) % {
        "done": done.days,
        "of": done.of,
    }


def for_whom(name: str) -> str:
    """What stands over the work that is being set."""
    return _("Set work for %(name)s") % {"name": name}


def minutes_a_day(count: int | None) -> str:
    """Minutes a day, or each learner's own."""
    if count is None:
        return _("as each has it")
    return ngettext("%(count)d minute", "%(count)d minutes", count) % {"count": count}


def pace_set(share: float | None) -> str:
    """The tempo against what is written, or each learner's own."""
    if share is None:
        return _("as each has it")
    return _("%(share)d in 100") % {"share": round(100 * share)}


def until(day: date) -> str:
    """The last day."""
    return long_day(day)


def given(work: SetWork, here: int, elsewhere: int) -> str:
    """Said once work is set: who has it at once, and who needs the file."""
    said = _("Set until %(day)s.") % {"day": long_day(work.until)}
    if here:
        at_once = ngettext(
            "%(count)d student practises here and has it at once.",
            "%(count)d students practise here and have it at once.",
            here,
        ) % {"count": here}
        said = _("%(said)s %(more)s") % {"said": said, "more": at_once}
    if elsewhere:
        by_file = ngettext(
            "%(count)d student needs the file.", "%(count)d students need the file.", elsewhere
        ) % {"count": elsewhere}
        said = _("%(said)s %(more)s") % {"said": said, "more": by_file}
    return said
