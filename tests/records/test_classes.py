"""Classes and students: what a teacher keeps beside the log. Source: design.md, sections 1 and 7; the rest is
common practice of a class register, no source."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from drillapp.records import Answer, PracticeLog, open_log

MakeAnswer = Callable[..., Answer]


def handed(tmp_path: Path, name: str, answer: MakeAnswer, device: str = "a") -> Path:
    with open_log(tmp_path / f"{name}-{device}.sqlite") as student:
        learner = student.learners.add(name, now=1000.0)
        student.append(answer(1, learner=learner.id, id=f"{name}-{device}"))
        return student.hand_in(tmp_path / f"{name}-{device}.handin", learner.id).path


def test_a_name_on_a_roll_is_the_learner_of_that_name_once_there_is_one(
    log: PracticeLog, tmp_path: Path, answer: MakeAnswer
) -> None:
    tuesday = log.classes.add("Tuesday group")
    log.classes.add_students(("Alva", "Benno"), tuesday.id)
    log.collect(handed(tmp_path, "Alva", answer))
    alva, benno = log.classes.students(tuesday.id)
    assert (alva.name, len(alva.learners)) == ("Alva", 1)
    assert (benno.name, benno.learners) == ("Benno", ())  # who has not handed in


def test_a_student_who_handed_in_first_is_moved_onto_the_roll(
    log: PracticeLog, tmp_path: Path, answer: MakeAnswer
) -> None:
    log.collect(handed(tmp_path, "Alva", answer))
    (loose,) = log.classes.students()
    assert loose.in_class is None
    tuesday = log.classes.add("Tuesday group")
    assert log.classes.add_students(("alva",), tuesday.id) == (loose.id,)
    assert [one.id for one in log.classes.students(tuesday.id)] == [loose.id]


def test_two_of_one_name_stay_apart_and_are_told_apart(
    log: PracticeLog, tmp_path: Path, answer: MakeAnswer
) -> None:
    for device in "ab":
        log.collect(handed(tmp_path, "Carla", answer, device))
    one, other = log.classes.students()
    assert one.name == other.name == "Carla" and one.shown != other.shown
    assert set(one.learners).isdisjoint(other.learners)


def test_one_child_on_two_devices_is_joined_and_parted_again(
    log: PracticeLog, tmp_path: Path, answer: MakeAnswer
) -> None:
    for device in "ab":
        log.collect(handed(tmp_path, "Carla", answer, device))
    before = log.classes.students()
    log.classes.join(before[0].id, before[1].id)
    (joined,) = log.classes.students()
    assert set(joined.learners) == {*before[0].learners, *before[1].learners}
    assert joined.shown == "Carla" and joined.joined == (before[1].id,)
    with pytest.raises(ValueError, match="one student already"):
        log.classes.join(before[0].id, before[1].id)
    log.classes.part(before[1].id)
    assert log.classes.students() == before


def test_a_class_put_aside_keeps_its_students(log: PracticeLog) -> None:
    tuesday = log.classes.add("Tuesday group")
    log.classes.add_students(("Alva",), tuesday.id)
    log.classes.archive(tuesday.id)
    assert log.classes.all() == ()
    assert [one.name for one in log.classes.students(tuesday.id)] == ["Alva"]
    log.classes.archive(tuesday.id, False)
    assert [one.name for one in log.classes.all()] == ["Tuesday group"]


def test_students_move_are_put_aside_and_remarked_on(path: Path) -> None:
    with open_log(path) as log:
        tuesday, friday = log.classes.add("Tuesday"), log.classes.add("Friday")
        (key,) = log.classes.add_students(("Alva",), tuesday.id)
        log.classes.move(key, friday.id)
        log.classes.note(key, "  Reads from the left page only. ")
        log.classes.archive_student(key)
    with open_log(path) as log:
        assert log.classes.students(friday.id) == ()
        (alva,) = log.classes.students(friday.id, archived=True)
        assert alva.archived and alva.remark == "Reads from the left page only."
        with pytest.raises(ValueError, match="at most 2000"):
            log.classes.note(key, "x" * 2001)
        with pytest.raises(ValueError, match="a class Tuesday already"):
            log.classes.add(" tuesday ")
        with pytest.raises(LookupError):
            log.classes.move("nobody", None)


def test_a_roll_with_a_name_that_cannot_be_taken_changes_nothing(log: PracticeLog) -> None:
    tuesday = log.classes.add("Tuesday group")
    with pytest.raises(ValueError, match="1 to 60 characters"):
        log.classes.add_students(("Alva", " "), tuesday.id)
    assert log.classes.students(tuesday.id) == ()


def test_a_rescue_of_a_damaged_log_keeps_classes_and_marks(path: Path, answer: MakeAnswer) -> None:
    with open_log(path) as log:
        tuesday = log.classes.add("Tuesday group")
        (key,) = log.classes.add_students(("Alva",), tuesday.id)
        log.append(answer(1, learner="ana"))
        log.append(answer(2, learner="ben"))
        log.delete(("ben",), 5.0)
    data = bytearray(path.read_bytes())
    data[:100] = bytes(100)
    path.write_bytes(data)
    with open_log(path) as log:
        assert log.notices[0].code.startswith("log-")
        assert [one.id for one in log.classes.students(tuesday.id)] == [key]
        assert [one.id for one in log.learners.all()] == ["ana"]
        assert [one.learner for one in log.answers()] == ["ana"]


def test_a_deleted_learner_leaves_no_row_and_no_later_file_brings_them_back(
    log: PracticeLog, tmp_path: Path, answer: MakeAnswer
) -> None:
    files = [handed(tmp_path, name, answer) for name in ("Alva", "Benno")]
    for file in files:
        log.collect(file)
    alva, benno = log.classes.students()
    assert log.delete(alva.learners, 9.0) == 1
    again = log.collect(files[0])
    assert (again.new, again.learners, again.deleted) == (0, (), ("Alva",))
    assert {one.learner for one in log.answers()} == set(benno.learners)
    assert [one.id for one in log.learners.all(archived=True)] == list(benno.learners)
    assert log.met(alva.learners[0]) == set()
    assert log.count(alva.learners[0]) == 0


def test_what_is_deleted_is_not_in_the_files_bytes(path: Path, answer: MakeAnswer) -> None:
    """Source: https://www.sqlite.org/pragma.html#pragma_secure_delete, deleted content is overwritten."""
    with open_log(path) as log:
        for number in range(30):
            log.append(answer(number, learner="ana", version="a-word-of-anas"))
        assert log.delete(("ana",), 9.0) == 30
    for side in ("", "-wal"):
        file = path.with_name(path.name + side)
        assert not file.exists() or b"a-word-of-anas" not in file.read_bytes()


def test_an_answer_of_one_who_was_not_deleted_still_cannot_be_deleted(path: Path, answer: MakeAnswer) -> None:
    import sqlite3

    with open_log(path) as log:
        log.append(answer(1))
    connection = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError, match="never deleted"):
        connection.execute("DELETE FROM answers")
    connection.close()


def test_a_hand_in_of_some_days_holds_those_and_what_takes_one_back(
    tmp_path: Path, log: PracticeLog, answer: MakeAnswer
) -> None:
    with open_log(tmp_path / "student.sqlite") as student:
        given = [answer(number, utc=1000.0 * (number + 1)) for number in range(4)]
        for one in given:
            student.append(one)
        student.take_back(given[2], 9000.0)
        assert student.span("ana", 2000.0, 4000.0) == (1, 2000.0, 2000.0)
        path = student.hand_in(tmp_path / "some.handin", "ana", since=2000.0, until=4000.0).path
    log.collect(path)
    assert [one.utc for one in log.answers()] == [2000.0]


def changed(path: Path, sql: str) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(sql)


def test_a_student_of_a_class_that_is_gone_is_seen_among_those_of_none(path: Path) -> None:
    with open_log(path) as log:
        log.classes.add_students(("Alva",), log.classes.add("Tuesday group").id)
    changed(path, "UPDATE students SET class = 'gone'")
    with open_log(path) as log:
        assert [one.in_class for one in log.classes.students()] == [None]


def test_a_class_whose_date_is_damaged_stays(path: Path) -> None:
    with open_log(path) as log:
        log.classes.add("Tuesday group")
    changed(path, "UPDATE classes SET made = 'x'")
    with open_log(path) as log:
        assert [one.name for one in log.classes.all()] == ["Tuesday group"]


def test_counts_that_were_changed_on_disk_are_made_anew(path: Path, answer: MakeAnswer) -> None:
    with open_log(path) as log:
        log.append(answer(learner="ana"))
        log.tallies.put("ana", {"answers": 1}, 1)
        assert log.tallies.get("ana") == {"answers": 1}
    changed(path, "UPDATE tallies SET text = replace(text, ':1', ':2')")
    with open_log(path) as log:
        assert log.tallies.get("ana") is None
