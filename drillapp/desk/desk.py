"""The teacher's desk of one practice log: what its screens and verbs ask for.

Conventions: ``now`` gives UTC seconds; days are this device's; a student of no class stands under the class
None. Counts of answers are kept ready in the log, made when something was collected, so that a class shows at
once.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from drillapp.records import PracticeLog, SchoolClass, SetWork, Student
from drillapp.records.work_rows import WorkDone

from .class_table import ClassStudent, ClassTable, class_table
from .collecting import FileLine, Progress, collect_all, mark_read, waiting
from .counts import Counts, count, from_row, to_row
from .lock import Lock
from .student import StudentFigures, student_figures

MOST_SET = 2
"""Signs that are suggested as set work at once."""
USUAL_DAYS, USUAL_MINUTES = 7, 10
LONG_AGO = 14
"""Days after its end for which a piece of set work is still shown."""
YEAR = 365.25 * 86_400.0


@dataclass(frozen=True)
class ClassLine:
    """A class as it stands in the list; ``school_class`` is None for the students of no class."""

    school_class: SchoolClass | None
    students: int
    handed_in: int


@dataclass(frozen=True)
class DeskTable:
    """A class: its figures; of each student by id when they were last seen, and what is done of the work."""

    students: tuple[Student, ...]
    table: ClassTable
    seen: dict[str, date | None]
    work: dict[str, WorkDone | None]


class TeachersDesk:
    """The desk over one log; ``folder``: where the log lies. ``open`` until it is locked again."""

    def __init__(self, log: PracticeLog, folder: Path, now: Callable[[], float]) -> None:
        self.log, self.now = log, now
        self.lock = Lock(log, folder)
        self.opened = False

    @property
    def open(self) -> bool:
        """Whether the desk may be shown: no PIN is set, or the right one was given."""
        return self.opened or not self.lock.is_set

    def unlock(self, pin: str) -> None:
        """Open the desk. Raises PinRefused."""
        self.lock.open(pin, self.now())
        self.opened = True

    @property
    def day(self) -> date:
        """Today, by this device's clock and zone."""
        return datetime.fromtimestamp(self.now()).astimezone().date()

    def collect(self, paths: Sequence[Path], progress: Progress = lambda *_: None) -> tuple[FileLine, ...]:
        """Collect files and folders, and count what came; a line a file."""
        lines = collect_all(self.log, paths, progress)
        for learner in dict.fromkeys(one for line in lines if line.done for one in line.done.learners):
            self._counts_of(learner)
        mark_read(self.log, lines)
        return lines

    def waiting(self) -> tuple[Path, ...]:
        """The files of the watched folder that were not read yet."""
        return waiting(self.log)

    def lines(self) -> tuple[ClassLine, ...]:
        """The classes by name, with how many students they have; last those of no class, where any are."""
        everyone = self.log.classes.students()
        found = []
        for one in (*self.log.classes.all(), None):
            here = [student for student in everyone if student.in_class == (one.id if one else None)]
            if one or here:
                found.append(ClassLine(one, len(here), sum(bool(student.learners) for student in here)))
        return tuple(found)

    def students(self, in_class: str | None) -> tuple[Student, ...]:
        """The students of a class, or of none, by name."""
        return tuple(one for one in self.log.classes.students() if one.in_class == in_class)

    def counts(self, student: Student) -> Counts:
        """The answers of a student, of all their records."""
        made = Counts()
        for learner in student.learners:
            made.take_in(self._counts_of(learner))
        return made

    def table(
        self, in_class: str | None, since: date | None = None, pages: Collection[str] | None = None
    ) -> DeskTable:
        """What a class reads, from a day's week on; ``pages``: only on patterns with these texts."""
        students = self.students(in_class)
        counted = {one.id: self.counts(one) for one in students}
        looked_at = counted if pages is None else {one.id: self._counts_on(one, pages) for one in students}
        table = class_table([ClassStudent(one.id, one.shown, looked_at[one.id]) for one in students], since)
        seen = {key: max(one.questions, default=None) for key, one in counted.items()}
        return DeskTable(students, table, seen, {one.id: self.work_of(one) for one in students})

    def _counts_on(self, student: Student, pages: Collection[str]) -> Counts:
        return count(
            entry
            for learner in student.learners
            for entry in self.log.entries(learner)
            if entry.pattern in pages
        )

    def figures(self, student: Student, since: date | None = None) -> StudentFigures:
        """All of one student, from the log itself."""
        entries = [entry for learner in student.learners for entry in self.log.entries(learner)]
        return student_figures(sorted(entries, key=lambda one: one.when), since=since)

    def work_of(self, student: Student) -> WorkDone | None:
        """The newest work set for a student, running or over a short while ago, and what is done of it."""
        whose = (student.id, *student.joined, *student.learners, student.in_class or "")
        for work in self.log.set_work.of(whose):
            if self.day <= work.until + timedelta(days=LONG_AGO):
                return self.log.set_work.done(work, student.learners, self.day)
        return None

    def suggest(self, name: str, signs: Sequence[str]) -> SetWork:
        """Set work for a class or a student of that name about these signs, the first of them, for a week."""
        until = self.day + timedelta(days=USUAL_DAYS)
        return SetWork(name, self.now(), until, USUAL_MINUTES, signs=tuple(signs[:MOST_SET]))

    def signs_for(self, figures: StudentFigures) -> tuple[str, ...]:
        """The signs that a student should practise: the weak ones, then those that may be, lowest first."""
        maybe = sorted(
            (one for one in figures.signs if one.missing and not one.weak), key=lambda one: one.all.middle
        )
        return (*figures.weak, *(one.feature for one in maybe))

    def give(self, work: SetWork, whose: str) -> None:
        """Set work for the class or the student with this id; a learner on this device has it at once."""
        self.log.set_work.give(work, (whose,))

    def reach(self, whose: str) -> tuple[int, int]:
        """How many of a class, or one student, practise here, and how many elsewhere."""
        local = {one.id for one in self.log.learners.all() if one.here}
        chosen = [one for one in self.log.classes.students() if whose in (one.in_class, one.id)]
        here = sum(bool(local & set(one.learners)) for one in chosen)
        return here, len(chosen) - here

    def delete(self, student: Student) -> int:
        """Delete a student with all records; gives how many answers went."""
        gone = self.log.delete(student.learners, self.now())
        self.log.classes.remove_student(student.id)
        return gone

    def older_than(self, years: float) -> tuple[Student, ...]:
        """The students whose last answer is so many years old, for whom to ask whether they be deleted.

        Those who practise here are not among them, nor those of whom there is no answer.
        """
        local = {one.id for one in self.log.learners.all(archived=True) if one.here}
        line = self.now() - years * YEAR
        found = []
        for student in self.log.classes.students(archived=True):
            last = self.counts(student).last
            if last and last < line and not local & set(student.learners):
                found.append(student)
        return tuple(found)

    def _counts_of(self, learner: str) -> Counts:
        kept = self.log.tallies.get(learner)
        if kept is not None:
            try:
                return from_row(kept)
            except ValueError:
                pass  # of another version
        rows = self.log.tallies.rows(learner)
        made = count(self.log.entries(learner))
        if rows:
            self.log.tallies.put(learner, to_row(made), rows)
        return made


def signs_to_set(table: ClassTable) -> tuple[str, ...]:
    """The signs that a class should practise: what most misread, then what most students are weak in."""
    by_most = [one.feature for one in table.by_most]
    weak = {sign: sum(row.cells[place].weak for row in table.rows) for place, sign in enumerate(table.signs)}
    others = sorted((sign for sign in weak if weak[sign]), key=lambda sign: -weak[sign])
    return tuple(dict.fromkeys([*by_most, *others]))
