"""The teacher's desk in a real window, by real clicks: thirty files collected, the class read, work set.

The number of taps is the issue's own goal. The planted sign stands at the head of desk/invented.py.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest
from window import AppWindow, XServer

from drillapp.desk.invented import PLANTED, write_class
from drillapp.desk.lock import RECOVERY, Lock
from drillapp.practice.opening import LOG_FILE
from drillapp.records import open_log
from drillapp.records.set_work import open_work

MOST_TAPS = 40
NAMES = tuple(f"{first} {last}" for last in ("Aalto", "Brand", "Costa") for first in "ABCDEFGHIJ")


class Taps:
    """Clicks and keys by which a teacher does things, counted; a word or path that is typed counts as one."""

    def __init__(self, app: AppWindow) -> None:
        self.app, self.count = app, 0

    def tap(self, name: str) -> None:
        self.app.click(name)
        self.count += 1

    def type(self, name: str, text: str, clear: bool = False) -> None:
        self.tap(name)
        self.app.until(lambda seen: seen["controls"][name]["state"] == "writing", f"{name} to be written in")
        if clear:
            self.app.press("ctrl+a")
        self.app.screen.do("type", "--delay", "25", text)
        self.app.until(lambda seen: seen["controls"][name]["text"] == text, f"{text} in {name}")
        self.count += 1


@pytest.fixture
def school(tmp_path: Path) -> Path:
    """A data folder whose learner is no longer new."""
    data = tmp_path / "data"
    data.mkdir()
    with open_log(data / LOG_FILE) as log:
        learner = log.learners.add("Teacher")
        log.settings.set("cautions_read", True, None)
        log.settings.set("begun", True, learner.id)
    return data


def to_desk(teacher: Taps) -> None:
    teacher.app.wait(screen="today")
    teacher.tap("tab-learners")
    teacher.tap("desk")
    teacher.app.wait(screen="desk")


def test_thirty_files_are_collected_the_class_is_read_and_work_is_set(
    landscape: XServer, school: Path, tmp_path: Path
) -> None:
    handed = tmp_path / "in"
    handed.mkdir()
    planted = {name: ("tie",) if number % 3 else () for number, name in enumerate(NAMES)}
    write_class(handed, time.time() - 3_600, planted=planted, days=8, a_day=16)
    (handed / "31-cut-off.handin").write_bytes(b"\x1f\x8bnot much")
    roll = tmp_path / "roll.csv"
    roll.write_text("Name;Form\n" + "".join(f"{name};3b\n" for name in NAMES), encoding="utf-8")
    out = tmp_path / "tuesday.setwork"
    with AppWindow(landscape, school) as app:
        teacher = Taps(app)
        to_desk(teacher)
        teacher.tap("new-class")
        teacher.type("class-name", "Tuesday")
        teacher.tap("roll-file")
        teacher.type("path", str(roll), clear=True)
        teacher.tap("act")
        app.wait(screen="desk_roll", told="30 names.")
        teacher.tap("make-class")
        app.until(lambda seen: len(seen.get("students", ())) == 30, "the roll as a class")
        teacher.tap("collect")
        teacher.tap("choose-files")
        teacher.type("path", str(handed), clear=True)
        teacher.tap("act")
        seen = app.until(lambda seen: seen.get("heading"), "all files collected")
        assert seen["heading"].startswith("31 files read") and "1 could not be taken" in seen["heading"]
        assert "31-cut-off.handin" in seen["line"]
        teacher.tap("to-classes")
        teacher.tap("class-0")
        seen = app.until(lambda seen: seen.get("sentence") and not seen["working"], "the class counted")
        assert seen["sentence"].startswith("Ties are misread by most of this class: ")
        assert seen["students"] == sorted(NAMES)
        teacher.tap("head-tie")
        app.until(lambda seen: seen["students"][0] != sorted(NAMES)[0], "whoever reads ties worst first")
        teacher.tap("student-0")
        app.until(lambda seen: seen.get("diagnosis") and not seen["working"], "a student counted")
        teacher.tap("leave")
        app.until(lambda seen: seen["screen"] == "desk_class" and not seen["working"], "the class again")
        teacher.tap("set-work")
        app.until(lambda seen: "tie" in seen.get("signs", ()), "ties suggested")
        teacher.tap("save-work")
        teacher.type("path", str(out), clear=True)
        teacher.tap("act")
        app.until(lambda seen: "tuesday.setwork is in" in seen.get("done", ""), "the file saved")
    assert teacher.count <= MOST_TAPS
    work = open_work(out)
    assert work.whose == "Tuesday" and "tie" in work.signs
    with open_log(school / LOG_FILE) as log:
        (made,) = log.classes.all()
        assert [one.id for one in log.set_work.of([made.id])] == [work.id]
        assert all(len(one.learners) == 1 for one in log.classes.students(made.id))
        assert [one.name for one in log.learners.all() if one.here] == ["Teacher"]


def test_an_invented_class_says_so_is_printed_and_leaves_the_own_data_alone(
    portrait: XServer, school: Path, tmp_path: Path
) -> None:
    with open_log(school / LOG_FILE) as log:
        before = log.count(), len(log.learners.all())
    command = [sys.executable, "-m", "drillapp", "--data", str(school), "--demo"]
    with AppWindow(portrait, school, command=command) as app:
        to_desk(Taps(app))
        app.click("class-0")
        seen = app.until(lambda seen: seen.get("students") and not seen["working"], "the class counted")
        assert seen["students"] == sorted(PLANTED)
        assert seen["sentence"].startswith("Ties are misread by most")
        app.click("print")
        app.until(lambda seen: seen.get("form") == "pdf", "what to print")
        app.click("other-folder")
        app.click("path")
        app.press("ctrl+a")
        app.screen.do("type", "--delay", "25", str(tmp_path))
        app.until(lambda seen: seen["controls"]["path"]["text"] == str(tmp_path), "the folder typed")
        app.click("act")
        app.click("write-report")
        said = app.until(lambda seen: str(tmp_path) in seen.get("done", ""), "the report written")["done"]
        (printed,) = tmp_path.glob("*.pdf")
        assert said.startswith(printed.name) and printed.read_bytes().startswith(b"%PDF-")
    with open_log(school / LOG_FILE) as log:
        assert (log.count(), len(log.learners.all())) == before
        assert not log.classes.all()


def test_a_wrong_pin_does_not_open_the_desk_and_the_owner_does(landscape: XServer, school: Path) -> None:
    with open_log(school / LOG_FILE) as log:
        Lock(log, school).set("4711", bytes(16))
    with AppWindow(landscape, school) as app:
        app.wait(screen="today")
        app.click("tab-learners")
        app.click("desk")
        app.wait(screen="desk_lock")
        for _ in range(3):
            app.press("0")
            app.wait(figures=1)
            app.press("Return")
            app.wait(figures=0, fault="That is not the PIN.")
        app.until(lambda seen: seen["waiting"].startswith("The next try in"), "the wait said")
        app.click("leave")
        app.wait(screen="learners")
        (school / RECOVERY).touch()
        app.click("desk")
        assert "taken the lock off" in app.wait(screen="desk")["done"]
