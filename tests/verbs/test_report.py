"""`drillapp report`: a page about a student or a class, in three forms."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from drillapp.__main__ import main
from drillapp.desk.invented import CLASS, fill
from drillapp.records import open_log

NOW = 1_790_000_000.0


@pytest.fixture(scope="module")
def school(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("school")
    with open_log(folder / "practice.sqlite") as log:
        fill(log, folder, NOW)
    return folder


def report(school: Path, *more: object) -> int:
    return main(["report", "--data", str(school), *map(str, more)])


@pytest.mark.parametrize(
    "whose", [("--student", "edda"), ("--student", "Edda", "--for", "parents"), ("--class", CLASS)]
)
@pytest.mark.parametrize(("form", "start"), [("html", b"<!DOCTYPE html>"), ("pdf", b"%PDF-")])
def test_a_page_is_written_as_its_ending_says(school, tmp_path, whose, form, start):
    out = tmp_path / f"out.{form}"
    assert report(school, *whose, "-o", out) == 0
    assert out.read_bytes().startswith(start)


def test_the_form_may_be_given_apart_from_the_name(school, tmp_path):
    out = tmp_path / "rows.txt"
    assert report(school, "--class", CLASS, "--format", "csv", "--since", "2026-01-01", "-o", out) == 0
    with out.open(encoding="utf-8-sig", newline="") as file:
        names = {row["student"] for row in csv.DictReader(file)}
    assert {"Alva", "Hanno"} <= names


def test_a_name_that_is_not_there_is_told_with_those_that_are(school, tmp_path, capsys):
    assert report(school, "--student", "Zoe", "-o", tmp_path / "a.pdf") == 1
    assert "there is no student 'Zoe'; there is Alva, Benno" in capsys.readouterr().err
    assert report(school, "--class", "3b", "-o", tmp_path / "a.pdf") == 1
    assert f"there is no class '3b'; there is {CLASS}" in capsys.readouterr().err


def test_a_class_has_no_page_for_parents_and_a_page_no_other_form(school, tmp_path, capsys):
    assert report(school, "--class", CLASS, "--for", "parents", "-o", tmp_path / "a.pdf") == 1
    assert "give --student NAME" in capsys.readouterr().err
    assert report(school, "--class", CLASS, "-o", tmp_path / "a.doc") == 1
    assert ".html, .pdf or .csv" in capsys.readouterr().err


def test_two_of_one_name_are_told_apart_by_their_ids(school, tmp_path, capsys):
    with open_log(school / "practice.sqlite") as log:
        keys = log.classes.add_students(["Twin", "Twin"], None)
    assert report(school, "--student", "Twin", "-o", tmp_path / "a.pdf") == 1
    said = capsys.readouterr().err
    assert all(key in said for key in keys)
    assert report(school, "--student", keys[0], "-o", tmp_path / "a.pdf") == 0


def test_wrong_use_and_a_place_that_cannot_be_written(school, tmp_path, capsys):
    assert report(school, "-o", tmp_path / "a.pdf") == 2
    assert report(school, "--student", "A", "--class", "B", "-o", tmp_path / "a.pdf") == 2
    assert report(school, "--student", "Alva", "--since", "May", "-o", tmp_path / "a.pdf") == 2
    assert "day, written YYYY-MM-DD" in capsys.readouterr().err
    assert report(school, "--student", "Alva", "-o", tmp_path / "gone" / "a.pdf") == 1
    assert "there is no folder" in capsys.readouterr().err
