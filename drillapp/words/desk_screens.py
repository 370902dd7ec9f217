"""What the desk's own screens say: its lock, its classes, a roll, the files that wait."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from drillapp.desk.collecting import FileLine
from drillapp.desk.desk import ClassLine
from drillapp.desk.lock import RECOVERY
from drillapp.desk.roll import Roll

from .language import _, ngettext


def what_a_pin_does() -> str:
    """What the lock is and what it is not."""
    return _(
        "A PIN keeps children out of the desk. It is no encryption: whoever can open the files of this "
        "device can read what is in them."
    )


def forgotten(folder: Path) -> str:
    """How the machine's owner takes a lock off."""
    return _(
        "Forgotten? The owner of this device puts an empty file of the name %(file)s into the folder "
        "%(folder)s, then opens the desk again."
    ) % {"file": RECOVERY, "folder": folder}


def wait(seconds: float) -> str:
    """How long the next try has to wait; empty where it has not."""
    if seconds <= 0:
        return ""
    count = max(1, round(seconds))
    return ngettext("The next try in %(count)d second.", "The next try in %(count)d seconds.", count) % {
        "count": count
    }


def taken_off() -> str:
    """Said once the owner's file has taken the lock off."""
    return _("The owner of this device has taken the lock off. Give a new PIN if you want one.")


def pins_differ() -> str:
    """Said where a new PIN is not the same twice."""
    return _("The two are not the same. Write the new PIN once more.")


def class_name(line: ClassLine) -> str:
    """A class, or the row of those who are in none."""
    return line.school_class.name if line.school_class else no_class_name()


def class_note(line: ClassLine) -> str:
    """How many are in a class, and how many have handed in."""
    students = ngettext("%(count)d student", "%(count)d students", line.students) % {"count": line.students}
    return _("%(students)s, %(there)d with answers") % {"students": students, "there": line.handed_in}


def roll_read(roll: Roll) -> str:
    """What a roll holds."""
    said = ngettext("%(count)d name.", "%(count)d names.", len(roll.names)) % {"count": len(roll.names)}
    if not roll.doubled:
        return said
    return _("%(said)s Several times, and kept apart: %(names)s.") % {
        "said": said,
        "names": ", ".join(roll.doubled),
    }


def file_note(line: FileLine) -> str:
    """What became of a file, in a word or two."""
    if line.done is None:
        return _("not taken")
    return ngettext("%(new)s new", "%(new)s new", line.done.new) % {"new": f"{line.done.new:,}"}


def watching(folder: Path | None) -> str:
    """Which folder is gone through when the desk is opened."""
    if folder is None:
        return _("No folder is gone through when the desk is opened.")
    return _("When the desk is opened, new files in %(folder)s are collected.") % {"folder": folder}


def stopped(done: int) -> str:
    """Said where collecting was stopped."""
    return ngettext(
        "Stopped: %(count)d file was read, and stays.", "Stopped: %(count)d files were read, and stay.", done
    ) % {"count": done}


def no_class() -> str:
    """What stands in place of the list where there is no class."""
    return _("No class yet. Make one from a roll, or collect first: whoever handed in is listed then.")


def more_names(name: str) -> str:
    """What stands over the names that are added to a class."""
    return _("More names for %(name)s") % {"name": name}


def no_class_name() -> str:
    """What stands over the students who are in no class."""
    return _("In no class yet")


def every_deck() -> str:
    """The answers on all pages, whatever the deck."""
    return _("every page")


def beside(one: str, other: str) -> str:
    """Two remarks in one line."""
    return _("%(one)s · %(other)s") % {"one": one, "other": other}


def kept() -> str:
    """Said once a change is kept."""
    return _("Kept.")


def archived(name: str, gone: bool) -> str:
    """Said once a student is put aside, or brought back."""
    if gone:
        return _("%(name)s is put aside; every answer is kept.") % {"name": name}
    return _("%(name)s is back.") % {"name": name}


def years(count: int) -> str:
    """A time in years."""
    return ngettext("%(count)d year", "%(count)d years", count) % {"count": count}


def old_records(names: Sequence[str]) -> str:
    """Whose last answer is long ago."""
    if not names:
        return _("There is none.")
    return _("%(names)s.") % {"names": ", ".join(names)}


def old_deleted(count: int) -> str:
    """Said once the records of long ago are deleted."""
    return ngettext("%(count)d student is deleted.", "%(count)d students are deleted.", count) % {
        "count": count
    }


def backed_up(path: Path, records: int) -> str:
    """Said once the desk is in a file."""
    return ngettext(
        "%(file)s is in %(folder)s: %(count)d record.",
        "%(file)s is in %(folder)s: %(count)d records.",
        records,
    ) % {"file": path.name, "folder": path.parent, "count": records}


def given_up() -> str:
    """Said where a backup or a restoring was stopped."""
    return _("Stopped.")
