"""The teacher's desk in words: what was collected, what a class reads, what was set."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from drillapp.desk.collecting import FileLine
from drillapp.records import HandIn

from .faults import fault_said
from .language import _, ngettext
from .standing import long_day


def file_line(line: FileLine) -> str:
    """What became of one file that was collected."""
    if line.done is None:
        return fault_said(line.fault) if line.fault is not None else ""
    new = ngettext("%(new)s new answer", "%(new)s new answers", line.done.new) % {"new": f"{line.done.new:,}"}
    said = _("%(file)s: %(new)s, %(known)s known already, of %(names)s") % {
        "file": line.path.name,
        "new": new,
        "known": f"{line.done.known:,}",
        "names": ", ".join(line.names) or _("nobody"),
    }
    if line.done.deleted:
        said = _("%(said)s; left out, since deleted here: %(names)s") % {
            "said": said,
            "names": ", ".join(line.done.deleted),
        }
    return said


def collected_heading(lines: Sequence[FileLine]) -> str:
    """What collecting came to."""
    if not lines:
        return _("There is no file that was handed in.")
    new = sum(line.done.new for line in lines if line.done)
    refused = sum(line.done is None for line in lines)
    said = ngettext("%(count)d file read", "%(count)d files read", len(lines)) % {"count": len(lines)}
    answers = ngettext("%(new)s new answer", "%(new)s new answers", new) % {"new": f"{new:,}"}
    if not refused:
        return _("%(said)s: %(answers)s.") % {"said": said, "answers": answers}
    bad = ngettext("%(count)d could not be taken", "%(count)d could not be taken", refused) % {
        "count": refused
    }
    return _("%(said)s: %(answers)s; %(bad)s.") % {"said": said, "answers": answers, "bad": bad}


def collecting(number: int, of: int) -> str:
    """How far collecting is."""
    return _("file %(number)d of %(of)d") % {"number": number, "of": of}


def holds(name: str, answers: int, first: date | None, last: date | None) -> str:
    """What a hand-in will hold, before it goes."""
    if not answers or first is None or last is None:
        return _("There is no answer in this time: the file would hold only the name %(name)s.") % {
            "name": name
        }
    return ngettext(
        "The file holds the name %(name)s and %(count)s answer from %(first)s to %(last)s, with its time, "
        "what was asked, what was answered and how long it took. It holds no sound and nothing else of you.",
        "The file holds the name %(name)s and %(count)s answers from %(first)s to %(last)s, each with its "
        "time, what was asked, what was answered and how long it took. It holds no sound and nothing "
        "else of you.",
        answers,
    ) % {"name": name, "count": f"{answers:,}", "first": long_day(first), "last": long_day(last)}


def handed_in(done: HandIn) -> str:
    """Where a hand-in went."""
    return ngettext(
        "%(file)s is in %(folder)s: %(count)s answer.",
        "%(file)s is in %(folder)s: %(count)s answers.",
        done.answers,
    ) % {"file": done.path.name, "folder": done.path.parent, "count": f"{done.answers:,}"}
