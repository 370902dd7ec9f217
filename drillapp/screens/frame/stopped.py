"""Shown in place of everything else where the practice log cannot be used: what is wrong, what to do."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import BooleanProperty, StringProperty

from drillapp.practice.opening import LOG_FILE
from drillapp.records import LogError
from drillapp.records.recovery import copies_of, open_copy, put_log_aside, save_readable
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.words.faults import fault_said
from drillapp.words.recovery import answers_saved, could_not


class Stopped(Screen):
    """The practice log cannot be opened."""

    message = StringProperty("")
    done = StringProperty("")
    has_log = BooleanProperty(False)
    has_copy = BooleanProperty(False)

    def enter(self, message: str = "", **_given: Any) -> None:
        self.message = message
        self.done = ""
        self.look_round()

    def look_round(self) -> None:
        path = self.app.folder / LOG_FILE
        self.has_log, self.has_copy = path.is_file(), bool(copies_of(path))

    def save_answers(self) -> None:
        """Write what can be read to a file as it is handed in, beside the log."""
        path = self.app.folder / LOG_FILE
        try:
            saved = save_readable(path, path.with_suffix(".handin.gz"))
        except LogError as error:
            self.done = could_not(fault_said(error))
            return
        self.done = answers_saved(saved.answers, str(saved.path))

    def begin_anew(self) -> None:
        """Put the log aside, so that a new one is begun."""
        self._then(lambda: put_log_aside(self.app.folder / LOG_FILE))

    def open_copy(self) -> None:
        """Open the newest copy beside the log in its place."""
        path = self.app.folder / LOG_FILE
        self._then(lambda: open_copy(path, copies_of(path)[0]))

    def _then(self, act: Callable[[], object]) -> None:
        try:
            act()
        except LogError as error:
            self.done = could_not(fault_said(error))
            self.look_round()
            return
        self.try_again()

    def try_again(self) -> None:
        self.app.open_practice()

    def acts(self) -> dict[str, Callable[[], object]]:
        return {"enter": self.try_again}

    def traced(self) -> dict[str, object]:
        return {"message": self.message, "done": self.done}

    def back(self) -> None:
        """Nothing is behind it."""


load_kv(__file__)
