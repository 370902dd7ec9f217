"""The teacher's desk: the classes, and what concerns all of them."""

from __future__ import annotations

from typing import Any

from kivy.properties import StringProperty

from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import head, row_list
from drillapp.words import desk_screens as said

__all__ = ["Desk", "head", "row_list"]


class Desk(Screen):
    """The list of classes; a class is opened by its row."""

    done = StringProperty("")
    empty = StringProperty("")

    def enter(self, done: str = "", **_given: Any) -> None:
        """``done``: what was done on the screen that one comes from."""
        self.done = done
        if not done and (paths := self.app.desk.waiting()):
            self.app.later(lambda: self.app.go("desk_collect", paths=paths))
        self._lines = self.app.desk.lines()
        rows = ((said.class_name(line), said.class_note(line)) for line in self._lines)
        self.ids.classes.fill(
            ((caption, note, f"class-{number}") for number, (caption, note) in enumerate(rows)), -1
        )
        self.empty = "" if self._lines else said.no_class()

    def choose(self, index: int) -> None:
        one = self._lines[index].school_class
        self.app.go("desk_class", in_class=one.id if one else None)

    def back(self) -> None:
        """Closing the desk locks it."""
        self.app.desk.opened = False
        self.app.go("learners")

    def traced(self) -> dict[str, object]:
        return {"done": self.done}


load_kv(__file__)
