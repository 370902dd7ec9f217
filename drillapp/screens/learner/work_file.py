"""A file of set work, opened by the learner it may be for: what it asks, then yes or no."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, StringProperty

from drillapp.records import SetWorkError
from drillapp.records.set_work import open_work
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import head
from drillapp.words.faults import fault_said
from drillapp.words.set_work import terms

__all__ = ["WorkFile", "head"]


class WorkFile(Screen):
    """One piece, or why its file cannot be used."""

    who = StringProperty("")
    terms = StringProperty("")
    note = StringProperty("")
    fault = StringProperty("")
    usable = BooleanProperty(False)

    def enter(self, path: Path | None = None, **_given: Any) -> None:
        practice = self.app.practice
        self.who, self.terms, self.note, self.fault, self.usable = practice.learner.name, "", "", "", False
        if path is None:
            return
        try:
            self._work = open_work(path)
        except SetWorkError as refusal:
            self.fault = fault_said(refusal)
            return
        self.usable = True
        titles = {deck.name: deck.title for deck in practice.decks}
        self.terms, self.note = "\n".join(terms(self._work, titles)), self._work.note

    def accept(self) -> None:
        self.app.practice.take_set_work(self._work)
        self.app.go("today")

    def back(self) -> None:
        self.app.go("learners")

    def traced(self) -> dict[str, object]:
        return {"fault": self.fault, "terms": self.terms}


load_kv(__file__)
