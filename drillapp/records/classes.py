"""Classes and their students, as the teacher keeps them beside the practice log.

Conventions: a student is a child on the teacher's list; a learner is a record on one device. A student has
no learner before anything was handed in, and several where the child practises on several devices. Who is
joined to another stays in the file, so that it can be undone. `now` is UTC seconds.
"""

from __future__ import annotations

import time
from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from .answer import new_id
from .learner_line import NameRefused, clean_name
from .rows import known_learner, unnamed
from .store import Store

MOST_CLASSES, MOST_STUDENTS = 500, 20_000
LONGEST_REMARK = 2_000


@dataclass(frozen=True)
class SchoolClass:
    """One class."""

    id: str
    name: str
    made: float
    archived: bool = False


@dataclass(frozen=True)
class Student:
    """One student; ``shown`` is the name with what tells it from an equal one.

    ``learners``: ids of the records that are theirs; ``joined``: ids of the students joined to them.
    """

    id: str
    name: str
    in_class: str | None = None
    archived: bool = False
    remark: str = ""
    learners: tuple[str, ...] = ()
    joined: tuple[str, ...] = ()
    shown: str = ""


class Classes:
    """The classes and students in one practice log."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def all(self, archived: bool = False) -> tuple[SchoolClass, ...]:
        """The classes by name; with ``archived``, those put aside too."""
        rows = self._store.rows("SELECT id, name, made, archived FROM classes")
        found = (
            SchoolClass(key, str(name), made if isinstance(made, float) else 0.0, gone == 1)
            for key, name, made, gone in rows
            if isinstance(key, str)
        )
        return tuple(
            sorted(
                (one for one in found if archived or not one.archived),
                key=lambda one: (one.name.casefold(), one.id),
            )
        )

    def add(self, name: str, now: float | None = None) -> SchoolClass:
        """A new class. Raises NameRefused (ValueError) for a name that is empty, too long or taken."""
        made = SchoolClass(new_id(), self._free_name(name), time.time() if now is None else now)
        with self._store.writing() as connection:
            connection.execute("INSERT INTO classes VALUES (?, ?, ?, 0)", (made.id, made.name, made.made))
        return made

    def rename(self, key: str, name: str) -> None:
        """Raises NameRefused as ``add`` does."""
        self._set("classes", "name", self._free_name(name, but=key), key)

    def archive(self, key: str, archived: bool = True) -> None:
        """Put a class aside at the year's end, with all its students' records; or bring it back."""
        self._set("classes", "archived", int(archived), key)

    def students(self, in_class: str | None = None, archived: bool = False) -> tuple[Student, ...]:
        """The students of a class, or of all, by name; those that were joined to another stand with it.

        Learners that no student stands for yet get one first: the one on a roll with the very same name,
        where there is just one such without a record, else a new one without a class.
        """
        self._take_in()
        found = self._students()
        names = Counter(one.name.casefold() for one in found.values())
        chosen = [
            _told_apart(one, names)
            for one in found.values()
            if (in_class is None or one.in_class == in_class) and (archived or not one.archived)
        ]
        return tuple(sorted(chosen, key=lambda one: (one.name.casefold(), one.id)))

    def student(self, key: str) -> Student:
        """Raises LookupError where there is none of that id."""
        for one in self.students(archived=True):
            if one.id == key or key in one.joined:
                return one
        raise LookupError(f"No student has the id {key!r}.")

    def add_students(self, names: Iterable[str], in_class: str | None) -> tuple[str, ...]:
        """Put names on a class's roll; gives their ids. All or none: raises NameRefused for a name.

        A student without a class who has that very name is moved into the class rather than made anew.
        """
        tidy = [clean_name(name) for name in names]
        loose = defaultdict(list)
        for one in self.students():
            if one.in_class is None:
                loose[one.name.casefold()].append(one.id)
        added = []
        with self._store.writing() as connection:
            for name in tidy:
                if waiting := loose[name.casefold()]:
                    key = waiting.pop(0)
                    connection.execute("UPDATE students SET class = ? WHERE id = ?", (in_class, key))
                else:
                    key = new_id()
                    connection.execute(
                        "INSERT INTO students (id, name, class) VALUES (?, ?, ?)", (key, name, in_class)
                    )
                added.append(key)
        return tuple(added)

    def rename_student(self, key: str, name: str) -> None:
        """Raises NameRefused for a name that is empty or too long; two students may have one name."""
        self._set("students", "name", clean_name(name), key)

    def move(self, key: str, in_class: str | None) -> None:
        """Move a student to a class, or out of all."""
        self._set("students", "class", in_class, key)

    def archive_student(self, key: str, archived: bool = True) -> None:
        """Put a student aside, with everything; or bring them back."""
        self._set("students", "archived", int(archived), key)

    def note(self, key: str, remark: str) -> None:
        """Keep the teacher's remark on a student. Raises ValueError where it is too long."""
        if len(remark) > LONGEST_REMARK:
            raise NameRefused(
                f"A remark has at most {LONGEST_REMARK} characters; this one has {len(remark)}.",
                code="remark-length",
                places={"longest": LONGEST_REMARK, "length": len(remark)},
            )
        self._set("students", "remark", remark.strip(), key)

    def join(self, key: str, other: str) -> None:
        """Take two students for one child: all that is the other's stands with the first. ``part`` undoes it.

        Raises ValueError where they are one already.
        """
        first, second = self.student(key), self.student(other)
        if first.id == second.id:
            raise ValueError("These are one student already.")
        with self._store.writing() as connection:
            for one in (second.id, *second.joined):
                connection.execute("UPDATE students SET joined = ? WHERE id = ?", (first.id, one))

    def part(self, key: str) -> None:
        """Let a student that was joined to another stand alone again."""
        self._set("students", "joined", None, key)

    def joined_to(self, key: str) -> tuple[tuple[str, str], ...]:
        """The ids and names of the students that were joined to one."""
        rows = self._store.rows("SELECT id, name FROM students WHERE joined = ? ORDER BY name, id", (key,))
        return tuple((str(one), str(name)) for one, name in rows)

    def remove_student(self, key: str) -> None:
        """Take a student off the list, with those joined to them; their records are no part of it."""
        with self._store.writing() as connection:
            connection.execute("DELETE FROM set_for WHERE whose = ?", (key,))
            connection.execute("DELETE FROM students WHERE id = ? OR joined = ?", (key, key))

    def student_of(self, learner: str) -> Student | None:
        """The student that a learner's record is of; None where the desk knows none."""
        return next((one for one in self._students().values() if learner in one.learners), None)

    def _students(self) -> dict[str, Student]:
        made: dict[str, Student] = {}
        joined: dict[str, str] = {}
        rows = self._store.rows("SELECT id, name, class, archived, remark, joined FROM students")
        classes = {key for (key,) in self._store.rows("SELECT id FROM classes")}
        for key, name, in_class, archived, remark, other in rows:
            # A student of a class that is not there is in none, where the teacher sees them.
            here = in_class if in_class in classes else None
            made[key] = Student(key, str(name), here, archived == 1, str(remark))
            if other is not None:
                joined[key] = other
        # One that is joined to a student who was deleted stands alone.
        joined = {key: other for key, other in joined.items() if other in made and other not in joined}
        records: dict[str, list[str]] = defaultdict(list)
        for learner, student in self._store.rows("SELECT learner, student FROM student_of"):
            records[joined.get(student, student)].append(learner)
        others: dict[str, list[str]] = defaultdict(list)
        for key, other in joined.items():
            others[other].append(key)
        return {
            key: replace(one, learners=tuple(sorted(records[key])), joined=tuple(sorted(others[key])))
            for key, one in made.items()
            if key not in joined
        }

    def _take_in(self) -> None:
        rows = self._store.rows(
            "SELECT id, text FROM learners l WHERE NOT EXISTS "
            "(SELECT 1 FROM student_of s WHERE s.learner = l.id) AND NOT (here AND archived)"
        )
        new = [
            (key, (known_learner(key, text) or unnamed(key))["name"])
            for key, text in rows
            if isinstance(key, str)
        ]
        if not new:
            return
        waiting: dict[str, list[str]] = defaultdict(list)
        for one in self._students().values():
            if not one.learners and not one.archived:
                waiting[one.name.casefold()].append(one.id)
        called = Counter(name.casefold() for _, name in new)
        with self._store.writing() as connection:
            for learner, name in new:
                there = waiting.get(name.casefold(), [])
                if len(there) == 1 and called[name.casefold()] == 1:
                    student = there.pop()
                else:
                    student = new_id()
                    connection.execute("INSERT INTO students (id, name) VALUES (?, ?)", (student, name))
                connection.execute("INSERT INTO student_of VALUES (?, ?)", (learner, student))

    def _free_name(self, name: str, but: str = "") -> str:
        tidy = clean_name(name)
        for other in self.all(archived=True):
            if other.id != but and other.name.casefold() == tidy.casefold():
                raise NameRefused(
                    f"There is a class {other.name} already. Choose another name.",
                    code="class-taken",
                    places={"other": other.name},
                )
        return tidy

    def _set(self, table: str, column: str, value: object, key: str) -> None:
        with self._store.writing() as connection:
            done = connection.execute(f"UPDATE {table} SET {column} = ? WHERE id = ?", (value, key))
            if not done.rowcount:
                raise LookupError(f"Nothing in {table} has the id {key!r}.")


def _told_apart(one: Student, names: Counter[str]) -> Student:
    """A student with the name to show: where another has it too, with the start of the id of a record."""
    if names[one.name.casefold()] < 2:
        return replace(one, shown=one.name)
    mark = (one.learners[0] if one.learners else one.id)[:4]
    return replace(one, shown=f"{one.name} ({mark})")
