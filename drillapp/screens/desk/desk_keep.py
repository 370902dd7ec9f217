"""Keeping the desk: all of it as one file and back, records of long ago, who was put aside."""

from __future__ import annotations

from pathlib import Path
from threading import Event
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty, StringProperty

from drillapp.desk.backup import ENDING, BackupError, back_up, restore
from drillapp.desk.collecting import Stopped
from drillapp.records import LogError, Student
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import head
from drillapp.words import desk as words
from drillapp.words import desk_screens as said
from drillapp.words.faults import fault_said
from drillapp.words.language import _

__all__ = ["DeskKeep", "head"]


class DeskKeep(Screen):
    """``years``: how long ago the last answer is of those who are offered to be deleted."""

    years = NumericProperty(2)
    shown_years = StringProperty("")
    old = StringProperty("")
    asking = BooleanProperty(False)
    done = StringProperty("")
    fault = StringProperty("")
    working = StringProperty("")

    def enter(self, **_given: Any) -> None:
        self.done = self.fault = self.working = ""
        self._stop = Event()
        self.step_years(0)

    def leave(self) -> None:
        self._stop.set()

    def back(self) -> None:
        self.app.go("desk")

    def step_years(self, by: int) -> None:
        self.years = min(max(1, self.years + by), 10)
        self.asking, self.shown_years = False, said.years(int(self.years))
        desk, years = self.app.desk, float(self.years)
        self._old: tuple[Student, ...] = ()
        self.old = ""
        self.app.worker.do(lambda: desk.older_than(years), self._show_old)

    def delete_old(self) -> None:
        """Ask first, then delete."""
        if not self.asking:
            self.asking = bool(self._old)
            return
        for student in self._old:
            self.app.desk.delete(student)
        self.app.practice.who.look_again()
        self.done = said.old_deleted(len(self._old))
        self.step_years(0)

    def back_up(self) -> None:
        self.app.over(
            "choose_file",
            title=_("Back up the desk"),
            about=_("Classes, students, remarks, set work and every answer, as one file."),
            caption=_("Back up"),
            endings=(ENDING,),
            file_name=f"desk-{self.app.desk.day.isoformat()}{ENDING}",
            then=lambda path: self._work(path, True),
        )

    def restore(self) -> None:
        self.app.over(
            "choose_file",
            title=_("Restore a desk"),
            about=_("What is not here is added; what is here stays as it is."),
            caption=_("Restore"),
            endings=(ENDING,),
            then=lambda path: self._work(path, False),
        )

    def put_aside(self) -> None:
        """Whoever was put aside, to be looked at and brought back."""
        gone = [one for one in self.app.desk.log.classes.students(archived=True) if one.archived]
        self.app.over(
            "choose_row",
            title=_("Put aside"),
            rows=[(one.shown, "") for one in gone],
            then=lambda index: self.app.go(
                "desk_student", student=gone[index].id, in_class=gone[index].in_class
            ),
        )

    def stop(self) -> None:
        self._stop.set()

    def traced(self) -> dict[str, object]:
        return {"done": self.done, "fault": self.fault, "working": self.working, "old": self.old}

    def _show_old(self, found: tuple[Student, ...]) -> None:
        self._old, self.old = found, said.old_records([one.shown for one in found])

    def _work(self, path: Path, out: bool) -> None:
        log, stopped = self.app.desk.log, Event()
        self._stop, self.working, self.done, self.fault = stopped, words.collecting(0, 0), "", ""

        def progress(done: int, of: int) -> None:
            if stopped.is_set():
                raise Stopped
            Clock.schedule_once(lambda _dt: self._say(words.collecting(done, of), stopped))

        def job() -> tuple[str, str]:
            try:
                if out:
                    return said.backed_up(path, back_up(log, path, progress)), ""
                return words.collected_heading(restore(log, path, progress)), ""
            except (BackupError, LogError) as refusal:
                return "", fault_said(refusal)
            except Stopped:
                return said.given_up(), ""

        def then(told: tuple[str, str]) -> None:
            if self._stop is stopped:
                self.working = ""
                self.done, self.fault = told

        self.app.worker.do(job, then)

    def _say(self, told: str, stopped: Event) -> None:
        if self.working and self._stop is stopped:
            self.working = told


load_kv(__file__)
