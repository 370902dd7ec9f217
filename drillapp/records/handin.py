"""The file that a student hands in and a teacher collects: gzip (RFC 1952) JSON Lines, one object a line.

    {"drillapp":"hand in","schema":1,"device":"..."}
    {"learner":{"id":...,"name":...,"made":...,"named":...},"crc":"..."}      one for each learner
    {"answer":{...},"device":"...","number":1,"crc":"..."}                    one for each answer
    {"learners":1,"answers":118,"sha256":"..."}

`sha256` (FIPS 180-4) is of all the bytes before the last line, as `gzip -dc FILE | head -n -1 | sha256sum`
gives it. The same answers always make the same bytes. The file is written aside and renamed, so it is whole
or absent. Reading trusts nothing: sizes are bounded before anything is unpacked, and every value is
checked.
"""

from __future__ import annotations

import contextlib
import gzip
import hashlib
import io
import os
import stat
import zlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .answer import from_dict
from .errors import HandInError
from .learners import learner_data
from .lines import MAX_LINE, compact, read_json, unseal
from .schema import free_name, sync

SCHEMA = 1
"""Version of the file's form, apart from the log's own."""
MAX_FILE = 64 * 2**20
MAX_UNPACKED = 512 * 2**20
MAX_ANSWERS = 500_000
MAX_LEARNERS = 10_000

Progress = Callable[[float], None]
"""Called now and then with the share done, from 0 to 1; raising an exception in it stops the work, undone."""


@dataclass(frozen=True)
class HandIn:
    """What was written: where, how many, and the digest in the file's last line."""

    path: Path
    learners: int
    answers: int
    sha256: str


@dataclass(frozen=True)
class HandedIn:
    """A file that was read and found whole: learners and lines of answers."""

    device: str
    learners: tuple[dict[str, Any], ...]
    answers: tuple[str, ...]
    """The lines of the answers, each checked; as text, since objects would take many times the memory."""


def write_hand_in(path: Path, device: str, learners: Iterable[str], answers: Iterable[str]) -> HandIn:
    """Write a file of sealed lines, whole or not at all. Raises HandInError where it cannot be written."""
    path = path.absolute()
    part = free_name(path.with_name(f".{path.name}.part"))
    digest = hashlib.sha256()
    counts = {"learners": 0, "answers": 0}
    try:
        with (
            part.open("xb") as raw,
            gzip.GzipFile(filename="", mode="wb", fileobj=raw, mtime=0, compresslevel=6) as packed,
        ):
            writer = io.BufferedWriter(packed, 2**16)

            def put(line: str) -> None:
                data = line.encode("ascii") + b"\n"
                digest.update(data)
                writer.write(data)

            put(compact({"drillapp": "hand in", "schema": SCHEMA, "device": device}))
            for name, lines in (("learners", learners), ("answers", answers)):
                for line in lines:
                    put(line)
                    counts[name] += 1
            put(compact({**counts, "sha256": (sha := digest.hexdigest())}))
            writer.flush()
            writer.detach()
        sync(part)
        os.replace(part, path)
        sync(path.parent)
    except OSError as error:
        with contextlib.suppress(OSError):
            part.unlink()
        raise HandInError(
            f"{path}: the file cannot be written ({error.strerror or error}). "
            "Choose a folder that can be written to.",
            code="hand-in-not-written",
            places={"path": path, "reason": error.strerror or error},
        ) from error
    except BaseException:
        part.unlink(missing_ok=True)
        raise
    return HandIn(path, counts["learners"], counts["answers"], sha)


def read_hand_in(path: Path, progress: Progress | None = None) -> HandedIn:
    """Read a file to its end and check all of it. Raises HandInError naming the wrong line and why."""
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise HandInError(
                f"{path}: is not a file; choose a file that was handed in",
                code="hand-in-no-file",
                places={"path": path},
            )
        if status.st_size > MAX_FILE:
            raise HandInError(
                f"{path}: has {status.st_size:,} bytes; a file that was handed in has at most {MAX_FILE:,}",
                code="hand-in-too-large",
                places={"path": path, "size": f"{status.st_size:,}", "most": f"{MAX_FILE:,}"},
            )
        with path.open("rb") as raw, gzip.GzipFile(fileobj=raw, mode="rb") as packed:
            tell = (
                (lambda: progress(min(1.0, raw.tell() / max(1, status.st_size))))
                if progress
                else (lambda: None)
            )
            return _Reader(path, packed, tell).read()
    except (OSError, EOFError, zlib.error) as error:
        words = getattr(error, "strerror", None) or error
        raise HandInError(
            f"{path}: cannot be read as a file that was handed in ({words}). "
            "It may be cut off or of another kind; ask for it again.",
            code="hand-in-unreadable",
            places={"path": path, "reason": words},
        ) from error


class _Reader:
    """Reads one file once, keeping its place."""

    def __init__(self, path: Path, packed: gzip.GzipFile, tell: Callable[[], None]) -> None:
        self._path = path
        self._packed = packed
        self._tell = tell
        self._digest = hashlib.sha256()
        self._number = 0
        self._unpacked = 0

    def read(self) -> HandedIn:
        header = self._object(self._line())
        if header.get("drillapp") != "hand in":
            raise self._fault("is not the first line of a file that drillapp handed in")
        version = header.get("schema")
        if not isinstance(version, int) or isinstance(version, bool) or version < 1:
            raise self._fault("has no schema version")
        if version > SCHEMA:
            raise HandInError(
                f"{self._path}: was made by a newer drillapp (schema {version}; "
                f"this one reads up to {SCHEMA}). Update drillapp, then collect it again.",
                code="hand-in-too-new",
                places={"path": self._path, "version": version, "known": SCHEMA},
            )
        if set(header) != {"drillapp", "schema", "device"} or not _is_id(header["device"]):
            raise self._fault("is not a right first line: it must hold drillapp, schema and device")
        learners: dict[str, dict[str, Any]] = {}
        answers: list[str] = []
        while True:
            before = self._digest.hexdigest()
            line = self._line()
            if line.startswith('{"learners":'):
                self._end(self._object(line), before, len(learners), len(answers))
                return HandedIn(header["device"], tuple(learners.values()), tuple(answers))
            try:
                data = unseal(line)
                if set(data) == {"learner"} and not answers:
                    learner = learner_data(data["learner"])
                    if learner["id"] in learners:
                        raise ValueError("names a learner a second time")
                    learners[learner["id"]] = learner
                else:
                    _check_answer(line, data, learners)
                    answers.append(line)
            except ValueError as error:
                raise self._fault(f"is not right: {error}") from None
            if len(answers) > MAX_ANSWERS or len(learners) > MAX_LEARNERS:
                raise self._fault(
                    f"is one too many; at most {MAX_ANSWERS} answers and {MAX_LEARNERS} learners"
                )
            if not len(answers) % 500:
                self._tell()

    def _line(self) -> str:
        data = self._packed.readline(MAX_LINE + 2)
        self._number += 1
        self._unpacked += len(data)
        if self._unpacked > MAX_UNPACKED:
            raise self._fault(f"goes past {MAX_UNPACKED:,} bytes unpacked, the most that is read")
        if not data:
            raise self._fault("is missing: the file ends without its closing line, so it was cut off")
        if not data.endswith(b"\n"):
            raise self._fault(f"is cut off, or longer than {MAX_LINE:,} characters")
        self._digest.update(data)
        try:
            return data[:-1].decode("ascii")
        except UnicodeDecodeError:
            raise self._fault("holds bytes that are not ASCII") from None

    def _object(self, line: str) -> dict[str, Any]:
        try:
            return read_json(line)
        except ValueError as error:
            raise self._fault(f"is not JSON as drillapp writes it ({error})") from None

    def _end(self, trailer: dict[str, Any], digest: str, learners: int, answers: int) -> None:
        if trailer != {"learners": learners, "answers": answers, "sha256": digest}:
            raise self._fault(
                f"does not fit what is before it ({learners} learners, {answers} answers, SHA-256 {digest}): "
                "the file was altered or damaged"
            )
        if self._packed.read(1):
            raise self._fault("should be the last, but more follows")

    def _fault(self, words: str) -> HandInError:
        return HandInError(
            f"{self._path}: line {self._number} {words}. Nothing was collected; ask for the file again.",
            code="hand-in-line",
            places={"path": self._path, "line": self._number, "fault": words},
        )


def _check_answer(line: str, data: dict[str, Any], learners: dict[str, dict[str, Any]]) -> None:
    if set(data) != {"answer", "device", "number"} or not line.startswith('{"answer":{'):
        raise ValueError("it must hold answer, device, number and crc")
    if not _is_id(data["device"]):
        raise ValueError("device must be text of 1 to 100 characters")
    number = data["number"]
    if not isinstance(number, int) or isinstance(number, bool) or not 1 <= number < 2**53:
        raise ValueError("number must be a whole number from 1")
    answer = from_dict(data["answer"])
    if answer.learner not in learners:
        raise ValueError("its learner is not among the learners of the file")


def _is_id(value: Any) -> bool:
    return isinstance(value, str) and 1 <= len(value) <= 100 and value.isprintable() and value.isascii()
