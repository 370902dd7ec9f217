"""Decks in words: what was found, what is shown, where a file went."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from drillapp.decks.faults import Fault

from .language import _, marked, ngettext
from .signs import title

MET, NOT_MET = "met", "not met"
MET_NAMES: dict[str, str] = {MET: marked("met"), NOT_MET: marked("not met")}
BAND_NAMES: dict[str, str] = {band: band for band in (marked("easier"), marked("middling"), marked("harder"))}


def found(count: int, signs: Sequence[str]) -> str:
    """How many patterns have what is asked for; ``signs`` are the features among it."""
    names = {"signs": ", ".join(map(title, signs)), "count": count}
    if not count:
        return (_("no patterns with %(signs)s") if signs else _("no patterns")) % names
    if signs:
        words = ngettext("%(count)d pattern with %(signs)s", "%(count)d patterns with %(signs)s", count)
    else:
        words = ngettext("%(count)d pattern", "%(count)d patterns", count)
    return words % names


def pattern_of(pattern: str, deck: str) -> str:
    """A pattern's title with that of its deck."""
    return _("%(pattern)s (%(deck)s)") % {"pattern": pattern, "deck": deck}


def meter_and_bars(meter: str, bars: int) -> str:
    """A pattern's meter, and its bars where it has several."""
    if bars == 1:
        return meter
    return ngettext("%(meter)s, %(bars)d bar", "%(meter)s, %(bars)d bars", bars) % {
        "meter": meter,
        "bars": bars,
    }


def taken_out(deck: str) -> str:
    """Said when a deck's file has been taken out of the folder."""
    return _("The deck %(deck)s is taken out.") % {"deck": deck}


def not_saved(drafts: Sequence[str]) -> str:
    """Which decks were left without saving, by the first one's title."""
    first, more = drafts[0], len(drafts) - 1
    if not more:
        return _("Not saved: %(deck)s") % {"deck": first}
    return ngettext(
        "Not saved: %(deck)s, and %(count)d more", "Not saved: %(deck)s, and %(count)d more", more
    ) % {"deck": first, "count": more}


def faults_heading(count: int) -> str:
    """What stands over the faults of deck files."""
    if count == 1:
        return _("A deck file could not be read; the others are not harmed.")
    return ngettext(
        "%(count)d fault in deck files; decks without faults are not harmed.",
        "%(count)d faults in deck files; decks without faults are not harmed.",
        count,
    ) % {"count": count}


def own_copy(deck: str) -> str:
    """What a copy of a deck is called."""
    return _("%(deck)s my own") % {"deck": deck}


def fault_line(fault: Fault) -> str:
    """A fault with its place, as ``file:line:column: message``."""
    return f"{fault.file}:{fault.line}:{fault.column}: {fault.message}"


def written_to(path: Path) -> str:
    """Where a file went."""
    return _("%(file)s is in %(folder)s.") % {"file": path.name, "folder": path.parent}


def sheet_written_to(path: Path, pages: int) -> str:
    """Where a sheet went, and how many pages it has."""
    return ngettext(
        "%(file)s is in %(folder)s: %(count)d page.", "%(file)s is in %(folder)s: %(count)d pages.", pages
    ) % {"file": path.name, "folder": path.parent, "count": pages}


def sheet_not_written() -> str:
    """Said when a sheet was stopped."""
    return _("The sheet was not written.")


def kept_file() -> str:
    """Said where a file of that name is there already."""
    return _("This file is there already and is kept; type another name.")


def progress(done: int, of: int) -> str:
    """How far a sheet is."""
    return _("%(done)d of %(of)d") % {"done": done, "of": of}


def up_to(folder: Path) -> str:
    """The row that leads to the folder above."""
    return _("Up to %(folder)s") % {"folder": folder.name or folder}
