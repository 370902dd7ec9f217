"""The whole desk as one file. Sources: ZIP by Python's own zipfile; common practice for the rest."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest

from drillapp.desk.backup import BackupError, back_up, restore
from drillapp.desk.desk import TeachersDesk
from drillapp.desk.invented import PLANTED, fill
from drillapp.records import open_log

NOW = 1_790_000_000.0


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A backup of the invented class, with a remark, set work and one deleted."""
    folder = tmp_path_factory.mktemp("kept")
    with open_log(folder / "practice.sqlite") as log:
        made = fill(log, folder, NOW)
        desk = TeachersDesk(log, folder, lambda: NOW)
        students = desk.students(made.id)
        log.classes.note(students[0].id, "Plays by ear.")
        desk.give(desk.suggest(made.name, ("tie",)), made.id)
        desk.delete(students[-1])
        back_up(log, folder / "all.desk")
    return folder / "all.desk"


def test_a_second_machine_has_the_same_desk(kept: Path, tmp_path: Path) -> None:
    with open_log(tmp_path / "practice.sqlite") as log:
        lines = restore(log, kept)
        assert all(line.done for line in lines)
        (made,) = log.classes.all()
        students = log.classes.students(made.id)
        assert [one.name for one in students] == sorted(PLANTED)[:-1]
        assert students[0].remark == "Plays by ear." and len(students[0].learners) == 1
        assert log.set_work.of([made.id])[0].signs == ("tie",)
        desk = TeachersDesk(log, tmp_path, lambda: NOW)
        assert desk.table(made.id).table.by_most[0].feature == "tie"
        # once more changes nothing, and who was deleted there does not come back
        assert sum(line.done.new for line in restore(log, kept) if line.done) == 0
        assert log.classes.students(made.id) == students
        gone = log.collect(kept.with_name(f"08-{sorted(PLANTED)[-1]}.handin"))
        assert gone.deleted == (sorted(PLANTED)[-1],)


def test_a_class_of_the_same_name_stays_apart(kept: Path, tmp_path: Path) -> None:
    with open_log(tmp_path / "practice.sqlite") as log:
        log.classes.add("Invented class", NOW)
        restore(log, kept)
        assert [one.name for one in log.classes.all()] == ["Invented class", "Invented class 2"]


def spoiled(kept: Path, path: Path, **changes: object) -> Path:
    with zipfile.ZipFile(kept) as whole, zipfile.ZipFile(path, "w") as made:
        data = json.loads(whole.read("desk.json"))
        rows = {**data["rows"], **changes}
        made.writestr("desk.json", json.dumps({**data, "rows": rows}))
    return path


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"classes": [["c", "Two\nlines", 0.0, 0]]}, "name of classes"),
        ({"classes": [["c", "A", 0.0]]}, "a row of classes holds id, name"),
        ({"students": 7}, "students is no list"),
        ({"set_work": [["w", 0.0, "{}"]]}, "file of another kind"),
        ({"more": []}, "must hold classes"),
    ],
)
def test_what_is_wrong_in_it_is_said_and_nothing_changes(
    kept: Path, tmp_path: Path, changes: dict[str, object], words: str
) -> None:
    with open_log(tmp_path / "practice.sqlite") as log:
        with pytest.raises(BackupError, match=words):
            restore(log, spoiled(kept, tmp_path / "bad.desk", **changes))
        assert not log.classes.all() and not log.learners.all()


def test_a_file_of_another_kind_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.desk").write_bytes(b"PK\x03\x04 no archive")
    with open_log(tmp_path / "practice.sqlite") as log, pytest.raises(BackupError, match="no backup"):
        restore(log, tmp_path / "a.desk")
    with open_log(tmp_path / "practice.sqlite") as log, pytest.raises(BackupError, match="cannot be written"):
        back_up(log, tmp_path / "none" / "a.desk")
