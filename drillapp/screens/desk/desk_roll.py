"""A new class with its roll, or more names for one that is there: pasted, typed, or from a file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, StringProperty

from drillapp.desk.roll import RollRefused, roll_in_file, roll_in_text
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import head
from drillapp.words import desk_screens as said
from drillapp.words.faults import fault_said
from drillapp.words.language import _

__all__ = ["DeskRoll", "head"]

ENDINGS = (".csv", ".txt", ".tsv")


class DeskRoll(Screen):
    """``more``: names are added to a class that is there."""

    more = BooleanProperty(False)
    title = StringProperty("")
    fault = StringProperty("")
    told = StringProperty("")

    def enter(self, in_class: str | None = None, **_given: Any) -> None:
        self._class, self.more = in_class, in_class is not None
        name = next((one.name for one in self.app.desk.log.classes.all() if one.id == in_class), "")
        self.title = said.more_names(name) if self.more else _("New class")
        self.fault = self.told = self.ids.roll.text = ""
        self.ids.name.text = name

    def back(self) -> None:
        if self.more:
            self.app.go("desk_class", in_class=self._class)
        else:
            self.app.go("desk")

    def look(self) -> None:
        """Say what the roll holds as it stands."""
        self.fault = self.told = ""
        if not self.ids.roll.text.strip():
            return
        try:
            self.told = said.roll_read(roll_in_text(self.ids.roll.text))
        except RollRefused as refusal:
            self.fault = fault_said(refusal)

    def from_file(self) -> None:
        self.app.over(
            "choose_file",
            title=_("Roll from a file"),
            about=_("A table (CSV) as spreadsheets write it, or a text with a name a line."),
            caption=_("Open"),
            endings=ENDINGS,
            then=self._take_file,
        )

    def act(self) -> None:
        """Make the class, with the names that stand there."""
        desk, text = self.app.desk, self.ids.roll.text
        try:
            names = roll_in_text(text).names if text.strip() or self.more else ()
            key = self._class or desk.log.classes.add(self.ids.name.text, desk.now()).id
            desk.log.classes.add_students(names, key)
        except ValueError as refusal:
            self.fault = fault_said(refusal)
            return
        self.app.go("desk_class", in_class=key)

    def traced(self) -> dict[str, object]:
        return {"fault": self.fault, "told": self.told}

    def _take_file(self, path: Path) -> None:
        try:
            roll = roll_in_file(path)
        except RollRefused as refusal:
            self.fault = fault_said(refusal)
            return
        self.ids.roll.text = "\n".join(roll.names)
        self.look()


load_kv(__file__)
