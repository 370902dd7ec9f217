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
import zlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from drillapp.files.reading import NotPlain, open_plain
from drillapp.files.writing import written_whole

from .errors import HandInError
from .learner_line import learner_data
from .lines import MAX_LINE, compact, is_whole, read_json, unseal, unseal_own
from .rows import check_row, is_id

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


def write_hand_in(path: Path, device: str, learners: Iterable[str], answers: Iterable[str]) -> HandIn:
    """Write a file of sealed lines, whole or not at all. Raises HandInError where it cannot be written."""
    path = path.absolute()
    digest = hashlib.sha256()
    counts = {"learners": 0, "answers": 0}
    try:
        with (
            written_whole(path, private=True) as raw,
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
    except OSError as error:
        raise HandInError(
            f"{path}: the file cannot be written ({error.strerror or error}). "
            "Choose a folder that can be written to.",
            code="hand-in-not-written",
            places={"path": path, "reason": error.strerror or error},
        ) from error
    return HandIn(path, counts["learners"], counts["answers"], sha)


class HandedIn:
    """A file that was handed in, open to be read twice: `check` first, which trusts nothing, then `answers`.

    So no more than one answer is in memory, however many there are. Raises HandInError.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.learners: dict[str, dict[str, Any]] = {}
        self.count = 0
        try:
            self._raw = open_plain(path)
        except NotPlain:
            raise HandInError(
                f"{path}: is not a file; choose a file that was handed in",
                code="hand-in-no-file",
                places={"path": path},
            ) from None
        except OSError as error:
            raise self._unreadable(error) from error
        self._size = os.fstat(self._raw.fileno()).st_size
        if self._size > MAX_FILE:
            self._raw.close()
            raise HandInError(
                f"{path}: has {self._size:,} bytes; a file that was handed in has at most {MAX_FILE:,}",
                code="hand-in-too-large",
                places={"path": path, "size": f"{self._size:,}", "most": f"{MAX_FILE:,}"},
            )
        self._begin()

    def __enter__(self) -> HandedIn:
        return self

    def __exit__(self, *_: object) -> None:
        with contextlib.suppress(OSError):  # it was only read
            self._raw.close()

    def check(self, progress: Progress) -> None:
        """Read to the end and check all of it; ``progress`` is called with the share of the file."""
        with self._faults():
            header = self._object(self._line())
            self._check_header(header)
            while True:
                before = self._digest.hexdigest()
                line = self._line()
                if line.startswith('{"learners":'):
                    self._end(self._object(line), before)
                    break
                try:
                    data = unseal(line)
                    if set(data) == {"learner"} and not self.count:
                        learner = learner_data(data["learner"])
                        if learner["id"] in self.learners:
                            raise ValueError("names a learner a second time")
                        self.learners[learner["id"]] = learner
                    else:
                        if not line.startswith('{"answer":{'):
                            raise ValueError("it must hold answer, device, number and crc")
                        check_row(data)
                        if data["answer"]["learner"] not in self.learners:
                            raise ValueError("its learner is not among the learners of the file")
                        self.count += 1
                except ValueError as error:
                    raise self._fault(f"is not right: {error}") from None
                if self.count > MAX_ANSWERS or len(self.learners) > MAX_LEARNERS:
                    raise self._fault(
                        f"is one too many; at most {MAX_ANSWERS} answers and {MAX_LEARNERS} learners"
                    )
                if not self.count % 500:
                    progress(min(1.0, self._raw.tell() / max(1, self._size)))
        self._checked = self._digest.hexdigest()

    def answers(self) -> Iterator[tuple[str, dict[str, Any]]]:
        """The answers of a file that was checked: each line with its object."""
        self._raw.seek(0)
        self._begin()
        with self._faults():
            for _ in range(1 + len(self.learners)):
                self._line()
            for _ in range(self.count):
                line = self._line()
                if not is_whole(line):
                    break
                yield line, unseal_own(line)
            self._line()
        if self._digest.hexdigest() != self._checked:
            raise self._fault("is not what it was a moment ago: the file was changed while it was read")

    def _begin(self) -> None:
        self._packed = io.BufferedReader(gzip.GzipFile(fileobj=self._raw, mode="rb"), 2**16)
        self._digest = hashlib.sha256()
        self._number = 0
        self._unpacked = 0

    def _check_header(self, header: dict[str, Any]) -> None:
        if header.get("drillapp") != "hand in":
            raise self._fault("is not the first line of a file that drillapp handed in")
        version = header.get("schema")
        if not isinstance(version, int) or isinstance(version, bool) or version < 1:
            raise self._fault("has no schema version")
        if version > SCHEMA:
            raise HandInError(
                f"{self.path}: was made by a newer drillapp (schema {version}; "
                f"this one reads up to {SCHEMA}). Update drillapp, then collect it again.",
                code="hand-in-too-new",
                places={"path": self.path, "version": version, "known": SCHEMA},
            )
        if set(header) != {"drillapp", "schema", "device"} or not is_id(header["device"]):
            raise self._fault("is not a right first line: it must hold drillapp, schema and device")

    @contextlib.contextmanager
    def _faults(self) -> Iterator[None]:
        try:
            yield
        except (OSError, EOFError, zlib.error) as error:
            raise self._unreadable(error) from error

    def _unreadable(self, error: Exception) -> HandInError:
        words = getattr(error, "strerror", None) or error
        return HandInError(
            f"{self.path}: cannot be read as a file that was handed in ({words}). "
            "It may be cut off or of another kind; ask for it again.",
            code="hand-in-unreadable",
            places={"path": self.path, "reason": words},
        )

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

    def _end(self, trailer: dict[str, Any], digest: str) -> None:
        learners, answers = len(self.learners), self.count
        if trailer != {"learners": learners, "answers": answers, "sha256": digest}:
            raise self._fault(
                f"does not fit what is before it ({learners} learners, {answers} answers, SHA-256 {digest}): "
                "the file was altered or damaged"
            )
        if self._packed.read(1):
            raise self._fault("should be the last, but more follows")

    def _fault(self, words: str) -> HandInError:
        return HandInError(
            f"{self.path}: line {self._number} {words}. Nothing was collected; ask for the file again.",
            code="hand-in-line",
            places={"path": self.path, "line": self._number, "fault": words},
        )
