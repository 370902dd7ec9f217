"""What stands on reports: heads of tables, how charts are read, and all of the page for parents."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from drillapp.desk.class_table import ClassTable
from drillapp.desk.student import Practised, SignFigures, StudentFigures
from drillapp.desk.told import TOLD, WEAK, goes_well, told
from drillapp.learning.expected import WIDEST

from . import care
from .language import _, marked, ngettext
from .signs import listed, title, way_name
from .standing import long_day

HEADS: dict[str, str] = {
    "sign": marked("Sign"),
    "range": marked("Read right, without guessing: from none to all"),
    "bar": marked("Read right: from none to all"),
    "of 100": marked("in figures"),
    "fresh": marked("never seen"),
    "met": marked("met before"),
    "missing": marked("to be sure"),
    "weeks": marked("Each week, none to all"),
    "written": marked("written"),
    "read": marked("read as"),
    "times": marked("times"),
    "student": marked("Student"),
    "seen": marked("seen"),
    "minutes": marked("minutes"),
    "work": marked("set work"),
    "week": marked("Week from"),
    "days": marked("days"),
    "length": marked("Minutes practised"),
    "what": marked("What it is"),
    "about": marked("of ten, about"),
}
PARTS: dict[str, str] = {
    "signs": marked("Signs"),
    "weeks": marked("By week"),
    "read as": marked("What was read as what"),
    "pages": marked("Pages misread most"),
    "class": marked("Students by signs"),
    "next": marked("Next"),
    "practised": marked("Practice"),
    "at home": marked("At home"),
    "reading": marked("Reading, sign by sign"),
}
READERS: dict[str, str] = {
    "teacher": marked("For the teacher"),
    "parents": marked("For the parents"),
}
FORMS: dict[str, str] = {
    "pdf": marked("Sheet to print (PDF)"),
    "html": marked("Page for a browser (HTML)"),
    "csv": marked("Every answer as a table (CSV)"),
}
#: the columns of the table of rows (CSV), a contract with spreadsheets and programs, so in no other language
ROW_HEADS = (
    "student",
    "answered",
    "drill",
    "pattern",
    "meter",
    "tempo",
    "swing",
    "layers",
    "first seen",
    "looked up",
    "seconds",
    "place",
    "signs",
    "written",
    "read",
    "right",
    "guess rate",
    "answer",
)
_SMALL_WHOLE = 10


def head(name: str) -> str:
    """The head of a column."""
    return _(HEADS[name])


def part(name: str) -> str:
    """The heading of a part."""
    return _(PARTS[name])


def about(of: str, since: date | None, made: date, invented: bool) -> str:
    """Whose answers these are, since when, and when the report was made; ``of``: the class."""
    said = _("Made %(day)s") % {"day": long_day(made)}
    if since is not None:
        said = _("answers since %(first)s · %(said)s") % {"first": long_day(since), "said": said}
    if of:
        said = _("%(of)s · %(said)s") % {"of": of, "said": said}
    return _("INVENTED, nobody's answers · %(said)s") % {"said": said} if invented else said


def pages_of(deck: str) -> str:
    """That only answers on a deck's pages are looked at."""
    return _("on the pages of %(deck)s") % {"deck": deck}


def how_ranges_are_read() -> str:
    """What the bars of ranges mean."""
    return _(
        "Bar: range of what is read right, without guessing (95 in 100 sure); tick: estimate. Thick: weak. "
        "Hollow: too few answers to tell. Dash: never read. Never seen and met before: of ten, and in "
        "brackets how many were read."
    )


def how_cells_are_read() -> str:
    """What the cells of a class mean."""
    return _(
        "Bar: range of what is read right, without guessing (95 in 100 sure); tick: estimate, and in figures "
        "of ten. Thick: weak. Hollow: too few answers to tell. Dash: never read."
    )


def how_weeks_are_read() -> str:
    """What the chart of weeks means."""
    return _("Of ten, and in brackets how many were read; a dash where they are too few to tell.")


def of_ten(one: SignFigures, fresh: bool) -> str:
    """First-seen or met-before pages of a sign: ``8 (34)``."""
    share = one.first_seen if fresh else one.met_before
    if not share.count:
        return _("none yet")
    return week_cell(share.count, share.low, share.middle, share.high)


def week_cell(count: int, low: float, middle: float, high: float) -> str:
    """So many of ten, of so many read: ``8 (34)``; a dash for what cannot be told."""
    if not count:
        return ""
    if high - low > WIDEST:
        return _("– (%(count)d)") % {"count": count}
    return _("%(ten)d (%(count)d)") % {"ten": round(_SMALL_WHOLE * middle), "count": count}


def of_ten_alone(middle: float) -> str:
    """So many of ten, alone in its cell."""
    return _("%(ten)d") % {"ten": round(_SMALL_WHOLE * middle)}


def missing(count: int | None) -> str:
    """How many more reads would tell; empty where none are needed."""
    return _("about %(count)d more") % {"count": count} if count else ""


def times(times: int, of: int) -> str:
    """``7 of 24``"""
    return _("%(times)d of %(of)d") % {"times": times, "of": of}


def not_misread() -> str:
    """Where nothing was misread, or nothing was told of it."""
    return _("Nothing yet.")


def not_handed_in(table: ClassTable) -> str:
    """Who has not handed in, by name; where all have, so."""
    if not table.absent:
        return _("All have handed in.")
    return _("Not handed in: %(names)s.") % {"names": ", ".join(table.absent)}


def to_set_next(signs: Sequence[str]) -> str:
    """What the class should read next."""
    if not signs:
        return _("To read next: as the plan of each has it.")
    return _("To read next: %(signs)s.") % {"signs": listed(signs)}


def error_rate(rate: float) -> str:
    """How often a class is told something false."""
    return _(
        "Weak is said so that in no more than %(rate)d of 100 classes anybody is named weak who is not."
    ) % {"rate": round(100 * rate)}


def sheet_number(number: int, of: int) -> str:
    """Which sheet of a report this is."""
    return _("%(number)d of %(of)d") % {"number": number, "of": of}


def nobody() -> str:
    """A class without a student."""
    return _("No student is in this class yet.")


def parents_title(name: str) -> str:
    """What stands over the page for parents."""
    return _("How %(name)s reads strum patterns") % {"name": name}


def parents_finding(name: str, figures: StudentFigures) -> str:
    """The one sentence that matters most to parents."""
    if not figures.answers:
        return _("%(name)s has not handed in anything yet.") % {"name": name}
    good = [one.feature for one in figures.signs if goes_well(one.all, one.weak)]
    if figures.weak and good:
        return _("%(name)s reads %(good)s well; %(weak)s need practice.") % {
            "name": name,
            "good": listed(good),
            "weak": listed(figures.weak),
        }
    if figures.weak:
        return _("%(weak)s need practice.") % {"weak": _first_large(listed(figures.weak))}
    if good:
        return _("%(name)s reads %(good)s well; no sign stands out as weak.") % {
            "name": name,
            "good": listed(good),
        }
    return _("It is too early to say how %(name)s reads: a few more days of practice will tell.") % {
        "name": name
    }


def practised(figures: StudentFigures) -> str:
    """How much was practised, in all and a week."""
    if not figures.answers or figures.first is None or figures.last is None:
        return ""
    weekly = figures.minutes / max(1, len(figures.weeks))
    return ngettext(
        "Practised on %(days)d day from %(first)s to %(last)s: about %(minutes)d minutes a week.",
        "Practised on %(days)d days from %(first)s to %(last)s: about %(minutes)d minutes a week.",
        figures.days,
    ) % {
        "days": figures.days,
        "first": long_day(figures.first),
        "last": long_day(figures.last),
        "minutes": round(weekly),
    }


def week_minutes(week: Practised) -> str:
    """The minutes of a week."""
    return _("%(count)d min") % {"count": round(week.minutes)}


def in_plain_words(one: SignFigures) -> str:
    """How one sign is read, for parents: ``9: reads well``."""
    state = told(one.all, one.weak)
    ten = round(_SMALL_WHOLE * one.all.middle)
    if state == WEAK:
        return _("%(ten)d: to be practised") % {"ten": ten}
    if state != TOLD:
        return _("too early to say")
    return (_("%(ten)d: well") if goes_well(one.all, one.weak) else _("%(ten)d: coming along")) % {"ten": ten}


def taken_for(figures: StudentFigures) -> tuple[str, ...]:
    """What each weak sign is mostly taken for, a sentence each."""
    said = []
    for feature in figures.weak:
        wrong = [one for one in figures.read_as if one.feature == feature and not one.right]
        if wrong:
            most = max(wrong, key=lambda one: one.times)
            said.append(
                _("%(sign)s: what is %(written)s is often read as %(read)s.")
                % {"sign": title(feature), "written": way_name(most.written), "read": way_name(most.read)}
            )
    return tuple(said)


def how_parents_read() -> str:
    """What the bars mean, for parents; and that they are no grade."""
    return _(
        "Each bar shows where the reading of a sign lies now, between none (left) and all (right), on what "
        "was asked; the tick is the likeliest. A short or thick bar is no grade: it says what to practise "
        "next."
    )


def at_home(figures: StudentFigures) -> tuple[str, ...]:
    """What parents can do."""
    said = [
        _("A few minutes on most days help more than an hour once a week."),
        _("Let your child show you a page and strum it while you count aloud: 1 + 2 + 3 + 4 +."),
    ]
    if figures.weak:
        said.append(_("Ask what this means when it comes up: %(signs)s.") % {"signs": listed(figures.weak)})
    return (*said, *(_("%(what)s %(why)s") % {"what": what, "why": why} for what, why in care.cautions()[1:]))


def _first_large(words: str) -> str:
    return words[:1].upper() + words[1:]


def reader_name(reader: str) -> str:
    """For whom a report is."""
    return _(READERS[reader])


def form_name(form: str) -> str:
    """What a report is written as."""
    return _(FORMS[form])


def to_print(name: str) -> str:
    """What stands over the choice of a report."""
    return _("Report on %(name)s") % {"name": name}


def who_may_see(of: str) -> str:
    """A word of care: a report holds names and answers; ``of``: student or class."""
    if of == "class":
        return _("It holds the names of the whole class: for the teacher alone, not for the wall.")
    return _("It holds this student's name and answers. Whoever has the file can read it.")


def written(path: Path, shown: bool) -> str:
    """Where a report was written; ``shown``: the system's viewer was asked to open it."""
    said = _("%(file)s is in %(folder)s.") % {"file": path.name, "folder": path.parent}
    if shown:
        return _("%(said)s It opens in this device's own viewer, which prints it.") % {"said": said}
    return _("%(said)s This device names no viewer for it; open it from there.") % {"said": said}


def not_written(path: Path, reason: object) -> str:
    """Said where a report cannot be written."""
    return _("%(path)s cannot be written (%(reason)s). Choose another folder.") % {
        "path": path,
        "reason": reason,
    }
