"""Set work in words: what a teacher asks for, and how much of it is done."""

from __future__ import annotations

from collections.abc import Mapping

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
