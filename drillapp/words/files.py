"""Files and folders in words, where one is chosen."""

from __future__ import annotations

from pathlib import Path

from .language import _


def is_there(path: Path) -> str:
    """Said where a file to be written is there already."""
    return _("%(file)s is there already and is kept; give another name.") % {"file": path.name}


def not_there(path: Path) -> str:
    """Said where a file to be opened is not there."""
    return _("There is nothing at %(path)s. Choose a row, or type the whole path.") % {"path": path}


def not_listed(folder: Path, reason: str) -> str:
    """Said where a folder cannot be looked into."""
    return _("%(folder)s cannot be looked into (%(reason)s). Choose another one.") % {
        "folder": folder,
        "reason": reason,
    }


def no_day(text: str) -> str:
    """Said where a date was typed that is none."""
    return _("%(text)s is no date; write it as 2026-12-01.") % {"text": text}
