"""The whole desk as one file, to be kept or opened on another machine.

A ZIP archive (APPNOTE 6.3) with ``desk.json``, all that the teacher keeps, and one hand-in for each
learner's record, ``answers/00001.handin`` and so on. Restoring adds what is not there and changes nothing
that is. Nothing of an archive is trusted: only members with these names are looked at, none larger than a
hand-in may be.
"""

from __future__ import annotations

import json
import re
import tempfile
import zipfile
import zlib
from collections.abc import Callable, Mapping
from pathlib import Path

from drillapp.files.writing import written_whole
from drillapp.records import HandInError, LogError, PracticeLog
from drillapp.records.desk_rows import checked
from drillapp.records.handin import MAX_FILE

from .collecting import FileLine, Stopped

ENDING = ".desk"
DESK = "desk.json"
SCHEMA = 1
MOST_MEMBERS = 20_000
MOST_JSON = 64 * 2**20
_ANSWERS = re.compile(r"answers/[0-9]{5}\.handin")

Progress = Callable[[int, int], None]
"""Called with the records done and their number; Stopped stops the work."""


class BackupError(ValueError):
    """A backup that cannot be written or used; why, with a code and the values in it by name."""

    def __init__(self, message: str, *, code: str, places: Mapping[str, object] | None = None) -> None:
        super().__init__(message)
        self.message, self.code, self.places = message, code, dict(places or {})


def back_up(log: PracticeLog, path: Path, progress: Progress = lambda done, of: None) -> int:
    """Write the desk to a file, whole or not at all; gives how many records. Raises BackupError."""
    learners = log.learners.all(archived=True)
    try:
        with (
            tempfile.TemporaryDirectory(prefix="drillapp-backup-") as folder,
            written_whole(path) as file,
            zipfile.ZipFile(file, "w", zipfile.ZIP_STORED) as archive,
        ):
            data = {"drillapp": "desk", "schema": SCHEMA, "rows": log.desk_rows.data()}
            archive.writestr(DESK, json.dumps(data), zipfile.ZIP_DEFLATED)
            for number, learner in enumerate(learners, 1):
                part = Path(folder) / "one.handin"
                log.hand_in(part, learner.id)
                archive.write(part, f"answers/{number:05}.handin")
                progress(number, len(learners))
    except (OSError, HandInError) as error:
        reason = getattr(error, "strerror", None) or error
        raise BackupError(
            f"{path}: the backup cannot be written ({reason}). Choose a folder that can be written to.",
            code="backup-not-written",
            places={"path": path, "reason": reason},
        ) from error
    return len(learners)


def restore(log: PracticeLog, path: Path, progress: Progress = lambda done, of: None) -> tuple[FileLine, ...]:
    """Take a backup in; a line for each record in it. Raises BackupError where the file is none."""
    try:
        with zipfile.ZipFile(path) as archive:
            members = archive.infolist()
            if len(members) > MOST_MEMBERS:
                raise ValueError(f"it has {len(members):,} parts")
            rows = _desk(archive)
            parts = [one for one in members if _ANSWERS.fullmatch(one.filename)]
            if any(one.file_size > MAX_FILE for one in parts):
                raise ValueError("one of its parts is too large")
            lines = []
            with tempfile.TemporaryDirectory(prefix="drillapp-restore-") as folder:
                for number, one in enumerate(parts, 1):
                    lines.append(_take(log, archive, one, Path(folder) / "one.handin"))
                    progress(number, len(parts))
            log.desk_rows.take_in(rows)
            return tuple(lines)
    except Stopped:
        raise
    except (OSError, ValueError, KeyError, zipfile.BadZipFile, zlib.error, NotImplementedError) as error:
        reason = getattr(error, "strerror", None) or error
        raise BackupError(
            f"{path}: is no backup of a desk that can be used ({reason}). Choose another file.",
            code="backup-unusable",
            places={"path": path, "reason": reason},
        ) from error


def _desk(archive: zipfile.ZipFile) -> object:
    info = archive.getinfo(DESK)
    if info.file_size > MOST_JSON:
        raise ValueError(f"{DESK} is too large")
    with archive.open(info) as file:
        data = json.loads(file.read(MOST_JSON + 1).decode())
    if not isinstance(data, dict) or data.get("drillapp") != "desk":
        raise ValueError(f"{DESK} is of another kind")
    if data.get("schema") != SCHEMA:
        raise ValueError(f"its schema is {str(data.get('schema'))[:20]!r}; this drillapp reads {SCHEMA}")
    return checked(data.get("rows"))


def _take(log: PracticeLog, archive: zipfile.ZipFile, one: zipfile.ZipInfo, part: Path) -> FileLine:
    with archive.open(one) as file, part.open("wb") as copy:
        left = MAX_FILE + 1
        while left > 0 and (chunk := file.read(min(2**20, left))):
            copy.write(chunk)
            left -= len(chunk)
    try:
        done = log.collect(part)
    except LogError as fault:
        return FileLine(Path(one.filename), fault=fault)
    return FileLine(
        Path(one.filename), done, tuple(log.learners.get(learner).name for learner in done.learners)
    )
