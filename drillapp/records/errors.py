"""What can go wrong with the practice log, as errors that say what to do next.

Conventions: every message names the file, what is wrong, and what would be right. None of these errors is
raised after a change has been half made: either all of it is on disk or none of it.
Source of the result codes: https://www.sqlite.org/rescode.html
"""

from __future__ import annotations

import errno
import os
import sqlite3
import tempfile
from collections.abc import Mapping
from pathlib import Path


class Remark(str):
    """A sentence for the user, in English, with a code of its own and the values that stand in it by name."""

    code: str
    places: dict[str, object]

    def __new__(cls, sentence: str, *, code: str, places: Mapping[str, object] | None = None) -> Remark:
        made = super().__new__(cls, sentence)
        made.code, made.places = code, dict(places or {})
        return made


class LogError(Exception):
    """Something about the practice log that the user must know; the message is a sentence for them.

    ``code`` and ``places`` are what it needs to be said in another language; no code where it cannot be.
    """

    def __init__(self, message: str, *, code: str = "", places: Mapping[str, object] | None = None) -> None:
        super().__init__(message)
        self.message, self.code, self.places = message, code, dict(places or {})


class LogLocked(LogError):
    """Another program holds the log; nothing was changed, and trying again is safe."""


class LogReadOnly(LogError):
    """The log, or the folder that it is in, cannot be written to; nothing was changed."""


class LogFull(LogError):
    """The disk is full; nothing was changed."""


class LogGone(LogError):
    """The log was deleted or replaced while it was open; what it held until then was not changed by us."""


class LogTooNew(LogError):
    """A newer drillapp wrote this log; nothing was changed."""


class LogForeign(LogError):
    """The file is another program's database; nothing was changed."""


class LogDamaged(LogError):
    """The log turned out to be damaged while in use; opening it again sets it aside and saves its rows."""


class FolderError(LogError):
    """The folder for the learner's data cannot be made or used."""


class HandInError(LogError):
    """A handed-in file that cannot be written, or that is not whole and right; nothing was changed."""


# The first word of each pair is in SQLite's own message for that result code. Python 3.10 does not pass the
# code on, so the words are what there is to go by.
_DAMAGE = ("malformed", "file is not a database", "file is encrypted", "unsupported file format")
_LOCK = ("locked", "busy")
_READ_ONLY = ("readonly", "unable to open", "read-only", "authorization denied")


# A message that quotes damaged bytes is not UTF-8, and Python then raises UnicodeDecodeError in its place.
SQLITE_ERRORS = (sqlite3.Error, UnicodeDecodeError)


def is_damage(error: Exception) -> bool:
    """True where SQLite says that the file itself is wrong, as against locked, full or not writable."""
    if isinstance(error, UnicodeDecodeError):
        return True
    text = str(error).lower()
    return any(words in text for words in _DAMAGE)


def explained(error: Exception, path: Path) -> LogError:
    """The error of ours that says in a sentence what SQLite's error means for the log at `path`."""
    text = str(error).lower()
    if is_damage(error):
        return LogDamaged(
            f"{path}: the practice log is damaged ({error}). Close it and open it again: "
            "the damaged file is then kept beside, and every answer that can still be read is saved.",
            code="log-damaged",
            places={"path": path, "reason": error},
        )
    if any(words in text for words in _LOCK):
        return LogLocked(
            f"{path}: another program is using the practice log. Nothing was changed. "
            "Close the other program, then try again.",
            code="log-locked",
            places={"path": path},
        )
    if any(words in text for words in _READ_ONLY):
        return LogReadOnly(
            f"{path}: the practice log cannot be written to. Nothing was changed. "
            "Make the file and its folder writable, or choose another folder for the data.",
            code="log-read-only",
            places={"path": path},
        )
    # Where there is no room for SQLite's own index of the journal it speaks of an I/O error.
    if "full" in text or ("i/o" in text and _has_no_room(path.parent)):
        return LogFull(
            f"{path}: the disk is full. Nothing was changed. Make room, then try again.",
            code="log-full",
            places={"path": path},
        )
    return LogError(
        f"{path}: the practice log cannot be used ({error}). Nothing was changed.",
        code="log-unusable",
        places={"path": path, "reason": error},
    )


def _has_no_room(folder: Path) -> bool:
    try:
        with tempfile.TemporaryFile(dir=folder) as file:
            file.write(bytes(64 * 1024))
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        return error.errno in (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))
    return False
