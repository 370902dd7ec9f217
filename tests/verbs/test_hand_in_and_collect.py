"""`drillapp hand-in` and `drillapp collect`: a student's answers travel to the teacher, once."""

from __future__ import annotations

from pathlib import Path

import pytest

from drillapp.__main__ import main
from drillapp.records import Answer, FactorAnswer, open_log


def practised(folder: Path, name: str = "Ida", count: int = 3) -> str:
    with open_log(folder / "practice.sqlite") as log:
        learner = log.learners.add(name, now=1_750_000_000.0)
        for number in range(count):
            log.append(
                Answer(
                    id=f"{name}-{number}",
                    learner=learner.id,
                    session="s",
                    utc=1_750_000_000.0 + number,
                    offset=0,
                    drill="page to sound",
                    pattern="D- DU -U DU",
                    meter="4/4",
                    tempo=90,
                    swing=None,
                    layers=("letters", "staff"),
                    candidates=("D- DU -U DU", "D- DU DU DU"),
                    pick=0,
                    written=0,
                    factors=(FactorAnswer("2", ("tie",), "tied on", "tied on", True, 0.5, True),),
                    seconds=2.0,
                    heard=(1, 1),
                    first_seen=True,
                    why="repair",
                    asked=("tie",),
                    version="0.1.0",
                )
            )
        return learner.id


@pytest.fixture
def student(tmp_path):
    folder = tmp_path / "student"
    practised(folder)
    return folder


def test_answers_handed_in_are_collected_once(student, tmp_path, capsys):
    file, teacher = tmp_path / "ida.gz", tmp_path / "teacher"
    assert main(["hand-in", "--data", str(student), "-o", str(file)]) == 0
    assert "3 answers of 1 learners" in capsys.readouterr().err
    assert main(["collect", "--data", str(teacher), str(file)]) == 0
    assert "3 new answers, 0 known ones, of Ida" in capsys.readouterr().err
    assert main(["--data", str(teacher), "collect", str(file)]) == 0
    assert "0 new answers, 3 known ones" in capsys.readouterr().err
    with open_log(teacher / "practice.sqlite") as log:
        assert log.count() == 3


def test_one_learner_can_be_chosen_by_name(student, tmp_path, capsys):
    practised(student, "Noor", 2)
    file = tmp_path / "noor.gz"
    assert main(["hand-in", "--data", str(student), "--learner", "noor", "-o", str(file)]) == 0
    assert "2 answers of 1 learners" in capsys.readouterr().err


def test_a_learner_that_is_not_there_is_named_beside_those_that_are(student, tmp_path, capsys):
    out = tmp_path / "a.gz"
    assert main(["hand-in", "--data", str(student), "--learner", "Bo", "-o", str(out)]) == 1
    assert "no learner 'Bo'; there is Ida" in capsys.readouterr().err
    assert not out.exists()


def test_without_a_log_there_is_nothing_to_hand_in(tmp_path, capsys):
    assert main(["hand-in", "--data", str(tmp_path / "new"), "-o", str(tmp_path / "a.gz")]) == 1
    assert "no practice log" in capsys.readouterr().err


def test_a_bad_file_stops_no_other(student, tmp_path, capsys):
    good, bad = tmp_path / "good.gz", tmp_path / "bad.gz"
    assert main(["hand-in", "--data", str(student), "-o", str(good)]) == 0
    bad.write_bytes(good.read_bytes()[:-20])
    capsys.readouterr()
    teacher = str(tmp_path / "teacher")
    assert main(["collect", "--data", teacher, str(bad), str(tmp_path / "gone.gz"), str(good)]) == 1
    told = capsys.readouterr().err
    assert "bad.gz" in told
    assert "gone.gz" in told
    assert "3 new answers" in told


def test_a_place_that_cannot_be_written_is_named(student, tmp_path, capsys):
    assert main(["hand-in", "--data", str(student), "-o", str(tmp_path)]) == 1
    assert "is a folder" in capsys.readouterr().err
    assert main(["hand-in", "--data", str(student), "-o", str(tmp_path / "gone" / "a.gz")]) == 1
    assert "gone" in capsys.readouterr().err


def test_a_data_folder_that_is_a_file_is_named(tmp_path, capsys):
    file = tmp_path / "file"
    file.write_text("")
    assert main(["collect", "--data", str(file), "a.gz"]) == 1
    assert "--data" in capsys.readouterr().err


def test_a_folder_is_collected_and_one_bad_file_stops_nothing(tmp_path, capsys):
    folder = tmp_path / "handed"
    folder.mkdir()
    for name in ("Ida", "Noor"):
        practised(tmp_path / name, name)
        assert main(["hand-in", "--data", str(tmp_path / name), "-o", str(folder / f"{name}.handin")]) == 0
    (folder / "bad.handin").write_bytes(b"nothing")
    capsys.readouterr()
    assert main(["collect", "--data", str(tmp_path / "teacher"), str(folder)]) == 1
    said = capsys.readouterr().err
    assert "of Ida" in said and "of Noor" in said and "bad.handin: cannot be read" in said
    empty = tmp_path / "empty"
    empty.mkdir()
    assert main(["collect", "--data", str(tmp_path / "teacher"), str(empty)]) == 1
    assert "no file that was handed in" in capsys.readouterr().err
