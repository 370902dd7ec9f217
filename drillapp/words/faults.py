"""What is said when something cannot be done, by the fault's code; and when something of ours fails.

An error or a remark of a room below carries its English sentence, a code, and the values in it by name. Here
the sentence stands once more, for the catalogs; ``tests/words/test_faults.py`` holds the two together.
"""

from __future__ import annotations

from .language import _, marked, ngettext, nmarked

FAULTS: dict[str, str] = {
    # the practice log
    "log-damaged": marked(
        "%(path)s: the practice log is damaged (%(reason)s). Close it and open it again: the damaged "
        "file is then kept beside, and every answer that can still be read is saved."
    ),
    "log-locked": marked(
        "%(path)s: another program is using the practice log. Nothing was changed. Close the other "
        "program, then try again."
    ),
    "log-read-only": marked(
        "%(path)s: the practice log cannot be written to. Nothing was changed. Make the file and its "
        "folder writable, or choose another folder for the data."
    ),
    "log-full": marked("%(path)s: the disk is full. Nothing was changed. Make room, then try again."),
    "log-unusable": marked("%(path)s: the practice log cannot be used (%(reason)s). Nothing was changed."),
    "log-is-folder": marked("%(path)s: is a folder; the practice log must be a file"),
    "log-folder": marked("%(path)s: the folder for the practice log cannot be used (%(reason)s)"),
    "log-unreadable": marked(
        "%(path)s: the practice log cannot be read (%(reason)s). Nothing was changed. Make it readable."
    ),
    "log-foreign": marked(
        "%(path)s: is another program's database, not a practice log. Nothing was changed."
    ),
    "log-too-new": marked(
        "%(path)s: was written by a newer drillapp (version %(version)d of the log; this one knows up "
        "to %(known)d). Nothing was changed. Update drillapp to open it."
    ),
    "log-migrated": marked("The practice log was brought up to date; a copy from before is in %(copy)s."),
    "log-not-migrated": marked(
        "%(path)s: the practice log could not be brought to version %(next)d (%(reason)s). It is as it "
        "was, in version %(version)d, and a copy is in %(copy)s."
    ),
    "log-not-copied": marked(
        "%(copy)s: no copy of the practice log could be made before changing it (%(reason)s). Nothing "
        "was changed."
    ),
    "log-not-rescued": marked(
        "%(path)s: the practice log is damaged, and a new one could not be made (%(reason)s). Nothing "
        "was deleted. Make room on the disk and the folder writable, then try again."
    ),
    "log-gone": marked(
        "%(path)s: the practice log was deleted or replaced by another file while it was open. Close the "
        "app and open it again."
    ),
    "journal-of-another": marked(
        "Beside the practice log lay the journal of another one. It is kept as %(file)s, and its answers "
        "were added."
    ),
    "journal-cut": marked(
        "The journal of the practice log was damaged, so the last answers may be missing. It is kept as "
        "%(file)s."
    ),
    "learner-damaged": marked(
        "The name of a learner in the practice log is damaged: %(name)s stands for it. Every answer is "
        "kept; give the name again."
    ),
    "log-closed": marked("%(path)s: the practice log is closed; open it again to use it"),
    # the folder for the learner's data
    "folder-asked-for": marked(
        "%(folder)s: the folder that was asked for cannot be used (%(reason)s). Choose another with "
        "--data or the environment variable %(variable)s."
    ),
    "folder-in-variable": marked(
        "%(folder)s: the folder in %(variable)s cannot be used (%(reason)s). Choose another with --data"
        " or the environment variable %(variable)s."
    ),
    "folder-of-user": marked(
        "%(folder)s: this user's data folder cannot be used (%(reason)s). Choose another with --data or"
        " the environment variable %(variable)s."
    ),
    # handing in and collecting
    "hand-in-not-written": marked(
        "%(path)s: the file cannot be written (%(reason)s). Choose a folder that can be written to."
    ),
    "hand-in-no-file": marked("%(path)s: is not a file; choose a file that was handed in"),
    "hand-in-too-large": marked(
        "%(path)s: has %(size)s bytes; a file that was handed in has at most %(most)s"
    ),
    "hand-in-unreadable": marked(
        "%(path)s: cannot be read as a file that was handed in (%(reason)s). It may be cut off or of "
        "another kind; ask for it again."
    ),
    "hand-in-too-new": marked(
        "%(path)s: was made by a newer drillapp (schema %(version)d; this one reads up to %(known)d). "
        "Update drillapp, then collect it again."
    ),
    "hand-in-line": marked(
        "%(path)s: line %(line)d %(fault)s. Nothing was collected; ask for the file again."
    ),
    "hand-in-differs": marked(
        "%(path)s: %(fault)s, and differs from the file's: one of the two was altered. Nothing was collected."
    ),
    # learners and settings
    "name-length": marked("A name has 1 to %(longest)d characters; this one has %(length)d."),
    "name-control": marked("A name is letters, figures and spaces; this one holds a control character."),
    "class-taken": marked("There is a class %(other)s already. Choose another name."),
    "remark-length": marked("A remark has at most %(longest)d characters; this one has %(length)d."),
    "set-work-fault": marked("This is no set work that can be used: %(fault)s."),
    "set-work-file": marked("%(path)s: %(fault)s Ask for the file again."),
    "set-work-not-text": marked(
        "%(path)s: is no set work: byte %(byte)d is not UTF-8. Ask for the file again."
    ),
    "set-work-not-written": marked(
        "%(path)s: cannot be written (%(reason)s). Choose a folder that can be written to."
    ),
    "set-work-unreadable": marked(
        "%(path)s: cannot be read as set work (%(reason)s). Ask for the file again."
    ),
    # the desk
    "backup-not-written": marked(
        "%(path)s: the backup cannot be written (%(reason)s). Choose a folder that can be written to."
    ),
    "backup-unusable": marked(
        "%(path)s: is no backup of a desk that can be used (%(reason)s). Choose another file."
    ),
    "pin-form": marked("A PIN is %(least)d to %(most)d figures."),
    "pin-wait": marked("Too many wrong tries: wait %(seconds)d seconds."),
    "pin-wrong": marked("That is not the PIN."),
    "roll-unreadable": marked("%(path)s: cannot be read as a roll (%(reason)s)."),
    "roll-file": marked("%(path)s: %(fault)s"),
    "roll-no-text": marked("This is no text: it holds bytes that no name has."),
    "roll-long": marked(
        "The roll has %(lines)s lines; a class has at most %(most)d names. Give one class at a time."
    ),
    "roll-line": marked("Line %(line)d: %(fault)s"),
    "roll-csv": marked("Line %(line)d: %(fault)s."),
    "roll-empty": marked("There is no name in it. Write one name a line."),
    "roll-names": marked("The roll has %(names)s names; a class has at most %(most)d."),
    "name-taken": marked("%(other)s already practises here. Choose another name, such as %(name)s 2."),
    "setting-unknown": marked("The setting %(setting)s is not known to this version; it is left alone."),
    "setting-default": marked("%(fault)s The default, %(default)s, is used."),
}
#: those with a number of answers, ``count``
COUNTED: dict[str, tuple[str, str]] = {
    "journal-rescued": nmarked(
        "%(count)s answer was saved from a damaged journal of the practice log.",
        "%(count)s answers were saved from a damaged journal of the practice log.",
    ),
    "waiting-taken": nmarked(
        "%(count)s answer that could not be written before is now in the practice log.",
        "%(count)s answers that could not be written before are now in the practice log.",
    ),
    "log-rescued": nmarked(
        "The practice log was damaged. It is kept as %(file)s, and %(count)s answer was saved into a "
        "new log.",
        "The practice log was damaged. It is kept as %(file)s, and %(count)s answers were saved into a "
        "new log.",
    ),
    "log-part-rescued": nmarked(
        "The practice log was damaged. It is kept as %(file)s, and %(count)s answer was saved into a "
        "new log. At least %(lost)s could not be read.",
        "The practice log was damaged. It is kept as %(file)s, and %(count)s answers were saved into a "
        "new log. At least %(lost)s could not be read.",
    ),
    "answers-left-out": nmarked(
        "%(count)s answer in the practice log is damaged and left out. The file is kept as it is.",
        "%(count)s answers in the practice log are damaged and left out. The file is kept as it is.",
    ),
}


def fault_said(fault: object) -> str:
    """An error or a remark as a sentence: by its code, else as it was written."""
    code, places = getattr(fault, "code", ""), dict(getattr(fault, "places", {}))
    if code in FAULTS:
        return _(FAULTS[code]) % places
    if code in COUNTED:
        one, many = COUNTED[code]
        numbers = {name: f"{value:,}" if isinstance(value, int) else value for name, value in places.items()}
        return ngettext(one, many, places["count"]) % numbers
    return str(fault)


def went_wrong(detail: str, log: str) -> str:
    """A failure that was written down in the file ``log``; ``detail`` is its own first line."""
    return _(
        "Something went wrong: %(detail)s. What you answered so far is kept. Details are in %(log)s."
    ) % {"detail": detail, "log": log}
