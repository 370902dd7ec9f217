"""Hand in: the learner's answers as a file for the teacher; what it holds is said before it goes."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import Any

from kivy.properties import NumericProperty, StringProperty

from drillapp.files.listing import usual_folder
from drillapp.practice import handing_in
from drillapp.records import LogError
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import head
from drillapp.words import desk as said
from drillapp.words.faults import fault_said
from drillapp.words.files import no_day
from drillapp.words.language import _

__all__ = ["HandInView", "head"]

SPANS = (0, 28, 84)
"""days; 0: all"""


class HandInView(Screen):
    """``span``: which of SPANS is chosen, -1 where days were typed."""

    who = StringProperty("")
    holds = StringProperty("")
    place = StringProperty("")
    fault = StringProperty("")
    done = StringProperty("")
    span = NumericProperty(0)

    def enter(self, **_given: Any) -> None:
        self.who = self.app.practice.learner.name
        self.fault = self.done = ""
        self.folder = getattr(self, "folder", usual_folder())
        self.place = str(self.folder)
        self.ids.pen_name.text = ""
        self.choose_span(0)

    def back(self) -> None:
        self.app.go("learners")

    def choose_span(self, index: int) -> None:
        """All answers, or those of some weeks."""
        days = SPANS[index]
        first = self.app.practice.day - timedelta(days=days - 1) if days else None
        self.ids.first.text, self.ids.last.text = first.isoformat() if first else "", ""
        self.span = index
        self.look()

    def typed(self) -> None:
        """Days were typed."""
        self.span = -1
        self.look()

    def look(self) -> None:
        """Say what the file would hold now."""
        self.fault = self.done = ""
        days = self._days()
        if days is None:
            return
        practice = self.app.practice
        held = handing_in.held(practice.log, practice.learner.id, *days)
        name = self.ids.pen_name.text.strip() or practice.learner.name
        self.holds = said.holds(name, held.answers, held.first, held.last)

    def other_folder(self) -> None:
        self.app.over(
            "choose_file",
            title=_("Where the file goes"),
            about=_("A folder of this device, or a stick."),
            caption=_("Choose"),
            folder=self.folder,
            endings=(handing_in.ENDING,),
            folders=True,
            then=self._take_folder,
        )

    def act(self) -> None:
        """Write the file."""
        self.look()
        days = self._days()
        if days is None:
            return
        practice = self.app.practice
        path = handing_in.file_in(self.folder, self.ids.pen_name.text.strip() or self.who, practice.day)
        try:
            done = handing_in.write(practice.log, practice.learner.id, path, *days, self.ids.pen_name.text)
        except (LogError, ValueError) as refusal:
            self.fault = fault_said(refusal)
            return
        self.done = said.handed_in(done)

    def traced(self) -> dict[str, object]:
        return {"fault": self.fault, "done": self.done, "holds": self.holds}

    def _take_folder(self, path: Path) -> None:
        self.folder = path if path.is_dir() else path.parent
        self.place = str(self.folder)

    def _days(self) -> tuple[date | None, date | None] | None:
        """The first and the last day that are written; None, with a sentence on screen, where one is none."""
        found: list[date | None] = []
        for field in (self.ids.first, self.ids.last):
            text = field.text.strip()
            try:
                found.append(date.fromisoformat(text) if text else None)
            except ValueError:
                self.fault = no_day(text)
                return None
        return found[0], found[1]


load_kv(__file__)
