"""The practice log: one line an answer, append-only, and what is read from it.

Conventions: an answer is on disk when `append` returns. Answers come back in the order of their effective
time (clock.py), then of device and number; those that were taken back stay in the file and do not come.
Times are UTC seconds; dates are the learner's own. All calls may come from any thread. The queries stay quick
with 100,000 answers behind (tests/bench/bench_records.py).
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from .answer import TAKEN_BACK, Answer, Observation, from_checked, taking_back
from .classes import Classes
from .deleting import delete_rows, new_device
from .desk_notes import DeskNotes
from .desk_rows import DeskRows
from .entries import Entry, entry_of, observations_of
from .errors import HandInError, LogError, Remark
from .handin import HandedIn, HandIn, Progress, write_hand_in
from .learner_line import clean_name
from .learners import Learners
from .limits import LATEST, MAX_NUMBER
from .lines import check_fits, seal
from .rows import (
    STANDS,
    DifferentAnswer,
    device_of,
    insert,
    is_deleted,
    known_learner,
    next_number,
    put_learner,
    read_row,
    settle,
    settle_last,
    unnamed,
    whole,
)
from .sessions import Sessions
from .settings import Settings
from .store import Store
from .tallies import Tallies
from .waiting import Waiting
from .work_rows import WorkRows

_EPOCH = date(1970, 1, 1)
_TIMED = (
    "SELECT a.text, coalesce(t.time, a.utc), a.device, a.number "
    "FROM answers a LEFT JOIN times t ON t.entry = a.entry"
)


@dataclass(frozen=True)
class Collected:
    """What collecting a file did."""

    new: int
    """Answers that were not in the log before."""
    known: int
    """Answers that were."""
    learners: tuple[str, ...]
    """Ids of the learners in the file, without those that were deleted here."""
    deleted: tuple[str, ...] = ()
    """Names of the learners in the file that were deleted here, and so were left out."""


class PracticeLog:
    """An open practice log; `open_log` gives one."""

    def __init__(self, store: Store, notices: tuple[Remark, ...] = ()) -> None:
        self._store = store
        self._waiting = Waiting(store.path)
        self._waiting.reserve()
        self.learners = Learners(store)
        self.settings = Settings(store)
        self.sessions = Sessions(store)
        self.classes = Classes(store)
        self.set_work = WorkRows(store)
        self.desk = DeskNotes(store)
        self.desk_rows = DeskRows(store)
        self.tallies = Tallies(store)
        self._notices = notices
        self._unreadable: set[str] = set()
        self._unsaved: dict[str, Answer] = {}
        with store.reading() as connection:
            self._device = device_of(connection)

    @property
    def path(self) -> Path:
        """The file."""
        return self._store.path

    @property
    def device(self) -> str:
        """The id under which this file numbers its own answers."""
        return self._device

    @property
    def notices(self) -> tuple[Remark, ...]:
        """Sentences that the user should see: what was mended, and what could not be read."""
        count = len(self._unreadable)
        if not count:
            return (*self._notices, *self.learners.notices)
        words = (
            "1 answer in the practice log is" if count == 1 else f"{count:,} answers in the practice log are"
        )
        damaged = Remark(
            f"{words} damaged and left out. The file is kept as it is.",
            code="answers-left-out",
            places={"count": count},
        )
        return (*self._notices, damaged, *self.learners.notices)

    @property
    def unsaved(self) -> tuple[Answer, ...]:
        """Answers that could not be written yet; the next `append` or `save` writes them first."""
        return tuple(self._unsaved.values())

    @property
    def kept(self) -> bool:
        """Whether all that is in `unsaved` is on disk beside the log, to be taken up at the next start."""
        return all(self._waiting.keeps(key) for key in self._unsaved)

    def append(self, answer: Answer) -> None:
        """Write an answer; it is on disk when this returns. The same answer again changes nothing.

        Raises LogError (LogLocked, LogReadOnly, LogFull, LogGone ...) where it cannot be written: it then
        waits in `unsaved`, and, where `kept` is true, in a file beside the log. Raises ValueError where it is
        too long, or another answer has its id.
        """
        check_fits(whole(answer, self._device, MAX_NUMBER))
        with self._store.locked():
            if self._unsaved.setdefault(answer.id, answer) != answer:
                raise DifferentAnswer(f"another answer with the id {answer.id} waits to be written")
            try:
                self.save()
            except DifferentAnswer:
                del self._unsaved[answer.id]
                raise
            except LogError:
                self._keep()
                raise

    def take_back(self, answer: Answer, utc: float) -> None:
        """Write that an answer does not count: it stays in the log, with a row that voids it.

        Whoever collects the log honours it, in whatever order the two rows come. ``utc``: when it was taken
        back. Raises LogError like ``append``; the row then waits in ``unsaved``.
        """
        self.append(taking_back(answer, utc))

    def save(self) -> None:
        """Write the answers that wait in `unsaved`. Raises LogError where that still cannot be done."""
        with self._store.locked():
            if not self._unsaved:
                return
            with self._store.writing() as connection:
                device, number = next_number(connection, self._device)
                for answer in self._unsaved.values():
                    data = whole(answer, device, number)
                    if insert(connection, seal(data), data, here=True):
                        settle_last(connection, device, answer.utc)
                        number += 1
            self._device = device
            self._unsaved.clear()
            self._waiting.forget()

    def _keep(self) -> None:
        for number, answer in enumerate(self._unsaved.values(), 1):
            self._waiting.keep(answer.id, seal(whole(answer, self._device, number)))

    def answers(self, learner: str | None = None, since: float | None = None) -> tuple[Answer, ...]:
        """The answers of a learner, or of all, in order of effective time; `since`: UTC seconds."""
        found = [
            ((when, device, number), from_checked(data, when))
            for data, when, device, number in self._timed(learner, since)
        ]
        found.sort(key=lambda one: (one[0], one[1].id))
        return tuple(answer for _, answer in found)

    def observations(self, learner: str | None = None, since: float | None = None) -> list[Observation]:
        """The evidence of a learner, or of all, in order of time, as `evidence_of` gives it."""
        shared: dict[Any, Any] = {}
        found = []
        for data, when, device, number in self._timed(learner, since):
            key = (when, device, number, data["id"])
            found.append((key, observations_of(data, when, shared)))
        found.sort(key=lambda one: one[0])
        return [observation for _, observations in found for observation in observations]

    def entries(self, learner: str) -> list[Entry]:
        """What counts and beliefs are made of, of all answers of a learner, in order of time."""
        shared: dict[Any, Any] = {}
        found = [
            ((when, device, number, data["id"]), entry_of(data, when, shared))
            for data, when, device, number in self._timed(learner, None)
        ]
        found.sort(key=lambda one: one[0])
        return [entry for _, entry in found]

    def count(self, learner: str | None = None) -> int:
        """How many answers there are that were not taken back."""
        where, values = ("", ()) if learner is None else (" AND a.learner = ?", (learner,))
        row = self._store.one(f"SELECT count(*) FROM answers a WHERE {STANDS}{where}", values)
        return int(row[0]) if row else 0

    def row_counts(self) -> dict[str, int]:
        """How many rows each learner has, those that were taken back and those that say so too.

        Rows are only ever added, so that what was made from a learner's answers holds while this is the same.
        """
        return dict(self._store.rows("SELECT learner, count(*) FROM answers GROUP BY learner"))

    def met(self, learner: str, shown: bool = False) -> set[str]:
        """Texts of the patterns that a learner was asked; with `shown`, of the other candidates too."""
        rows = self._store.rows(
            "SELECT pattern FROM met WHERE learner = ? AND asked >= ?", (learner, int(not shown))
        )
        return {pattern for (pattern,) in rows}

    def days(self, learner: str) -> dict[date, int]:
        """How many answers a learner gave on each of their own dates, oldest first."""
        rows = self._store.rows(
            # Casting cuts towards zero, so that a day before 1970 would be the day after.
            "SELECT cast(floor_day + 1 AS INTEGER) - 1, count(*) FROM ("
            'SELECT (coalesce(t.time, a.utc) + a."offset" * 60) / 86400 AS floor_day '
            f"FROM answers a LEFT JOIN times t ON t.entry = a.entry WHERE a.learner = ? AND {STANDS}) "
            "WHERE floor_day BETWEEN -1 AND ? GROUP BY 1 ORDER BY 1",
            (learner, LATEST / 86400 + 1),
        )
        return {_EPOCH + timedelta(days=day): count for day, count in rows}

    def hand_in(
        self,
        path: str | os.PathLike[str],
        learner: str | Iterable[str] | None = None,
        progress: Progress | None = None,
        since: float | None = None,
        until: float | None = None,
        called: str | None = None,
    ) -> HandIn:
        """Write the answers of a learner, of several, or of all, with their names, to a file to hand in.

        ``since``, ``until``: only those given from and before these UTC seconds, by the device's clock.
        ``called``: a pen name that stands in the file for the name.
        Raises HandInError where it cannot be written, LookupError for a learner that is not in the log.
        """
        chosen = (learner,) if isinstance(learner, str) else None if learner is None else tuple(learner)
        known = {one.id for one in self.learners.all(archived=True)}
        for one in chosen or ():
            if one not in known:
                raise LookupError(f"No learner has the id {one!r}.")
        wanted = sorted(known if chosen is None else set(chosen))
        pen_name = None if called is None else clean_name(called)
        total = max(1, sum(self.count(one) for one in wanted))
        return write_hand_in(
            Path(path),
            self._device,
            self._learner_lines(wanted, pen_name),
            self._answer_lines(set(wanted), total, progress or (lambda share: None), (since, until)),
        )

    def span(
        self, learner: str, since: float | None = None, until: float | None = None
    ) -> tuple[int, float, float]:
        """How many answers a learner gave between two UTC seconds, and when the first and the last were."""
        row = self._store.one(
            "SELECT count(*), coalesce(min(a.utc), 0), coalesce(max(a.utc), 0) FROM answers a "
            f"WHERE a.learner = ? AND {STANDS} AND a.utc >= ? AND a.utc < ?",
            (learner, since or 0.0, LATEST if until is None else until),
        )
        return (0, 0.0, 0.0) if row is None else (int(row[0]), float(row[1]), float(row[2]))

    def delete(self, learners: Iterable[str], utc: float) -> int:
        """Delete learners with every row of theirs; gives how many answers went.

        A mark of each stays, by which nothing of theirs is taken in again, from whatever file. ``utc``: now.
        """
        with self._store.locked():
            gone = 0
            with self._store.writing() as connection:
                for learner in learners:
                    gone += delete_rows(connection, learner, utc)
                # Numbers that were given once are not given again.
                self._device = new_device(connection)
            with contextlib.suppress(LogError):
                self._store.checkpoint()
        return gone

    def collect(self, path: str | os.PathLike[str], progress: Progress | None = None) -> Collected:
        """Merge a file that was handed in; the same file again changes nothing, and order does not matter.

        Raises HandInError where the file is not whole and right; nothing is changed then.
        """
        path = Path(path)
        tell = progress or (lambda share: None)
        new = 0
        devices = set()
        try:
            with HandedIn(path) as handed:
                handed.check(lambda share: tell(share / 2))
                with self._store.writing() as connection:
                    gone = [one for one in handed.learners if is_deleted(connection, one)]
                    for key, learner in handed.learners.items():
                        if key not in gone:
                            put_learner(connection, learner)
                    for number, (line, data) in enumerate(handed.answers()):
                        if insert(connection, line, data, here=False):
                            new += 1
                            devices.add(data["device"])
                        if not number % 500:
                            tell(0.5 + number / max(1, handed.count) / 2)
                    settle(connection, sorted(devices))
            with contextlib.suppress(LogError):
                # Else the next start would have it all to read.
                self._store.checkpoint()
        except DifferentAnswer as error:
            raise HandInError(
                f"{path}: {error}, and differs from the file's: one of the two was altered. "
                "Nothing was collected.",
                code="hand-in-differs",
                places={"path": path, "fault": error},
            ) from error
        tell(1.0)
        return Collected(
            new,
            handed.count - new,
            tuple(one for one in handed.learners if one not in gone),
            tuple(handed.learners[one]["name"] for one in gone),
        )

    def close(self) -> None:
        """Write what waits and close the file; a second time does nothing.

        Raises nothing: what cannot be written is left in a file beside, and taken up at the next start.
        """
        with self._store.locked():
            try:
                self.save()
            except (LogError, ValueError):
                self._keep()
            self._store.close()
            self._waiting.close()

    def __enter__(self) -> PracticeLog:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _timed(
        self, learner: str | None, since: float | None
    ) -> Iterator[tuple[dict[str, Any], float, str, int]]:
        """Answers as JSON objects, effective time, device, number; in no order, without damaged ones."""
        where = [STANDS]
        values: list[Any] = []
        if learner is not None:
            where.append("a.learner = ?")
            values.append(learner)
        if since is not None:
            # The first half can use the index; the second finds the few whose time is not their clock's.
            where.append(
                "(a.utc >= ? OR a.entry IN (SELECT entry FROM times)) AND coalesce(t.time, a.utc) >= ?"
            )
            values += [since, since]
        sql = f"{_TIMED} WHERE {' AND '.join(where)}"
        for text, when, device, number in self._store.rows(sql, tuple(values)):
            try:
                row = read_row(text)
            except ValueError:
                self._unreadable.add(f"{device} {number}")
                continue
            data = row["answer"]
            # The columns beside the text only help to find it; what they say wrongly harms nothing.
            if not isinstance(when, (int, float)) or not 0 <= when <= LATEST:
                when = data["utc"]
            yield data, when, row["device"], row["number"]

    def _learner_lines(self, wanted: list[str], called: str | None) -> Iterator[str]:
        for one in wanted:
            row = self._store.one("SELECT text FROM learners WHERE id = ?", (one,))
            known = (None if row is None else known_learner(one, row[0])) or unnamed(one)
            yield seal({"learner": known if called is None else {**known, "name": called}})

    def _answer_lines(
        self,
        wanted: set[str],
        total: int,
        progress: Progress,
        within: tuple[float | None, float | None] = (None, None),
    ) -> Iterator[str]:
        done = 0
        rows = self._store.rows(
            "SELECT learner, text, device, number FROM answers ORDER BY device, number, id"
        )
        for learner, text, device, number in rows:
            if learner not in wanted:
                continue
            done += 1
            if not done % 500:
                progress(min(1.0, done / total))
            try:
                row = read_row(text)
            except ValueError:
                self._unreadable.add(f"{device} {number}")
                continue
            # One that the teacher's app would refuse would make it refuse all the others.
            if row["answer"]["learner"] in wanted and _is_within(row["answer"], *within):
                yield text
        progress(1.0)


def _is_within(data: dict[str, Any], since: float | None, until: float | None) -> bool:
    # What takes an answer back goes along whenever that was done: the answer may be among those in the file.
    if data["drill"] == TAKEN_BACK:
        return True
    return (since is None or data["utc"] >= since) and (until is None or data["utc"] < until)
