"""Set work: what a class or a student is to practise; suggested from what was found, changed by hand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, StringProperty

from drillapp.desk import work_draft as draft
from drillapp.music import FEATURES, LAYERS
from drillapp.records import SetWork, SetWorkError
from drillapp.records.set_work import ENDING, write_work
from drillapp.screens.frame.base import App, Screen, load_kv
from drillapp.screens.widgets import head
from drillapp.screens.widgets.basic import Outlined, YesNo
from drillapp.words import decks as deck_words
from drillapp.words import set_work as said
from drillapp.words.faults import fault_said
from drillapp.words.language import _
from drillapp.words.settings import LAYERS as LAYER_NAMES
from drillapp.words.settings import captions
from drillapp.words.signs import title

__all__ = ["Choice", "DeskWork", "head"]


class Choice(Outlined):
    """A sign or a layer that may be chosen."""


class DeskWork(Screen):
    """``given``: it is set; what is changed afterwards stands in its place once it is set again."""

    title = StringProperty("")
    minutes = StringProperty("")
    pace = StringProperty("")
    until = StringProperty("")
    fault = StringProperty("")
    done = StringProperty("")
    given = BooleanProperty(False)

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._signs = {name: self._choice("signs", name) for name in FEATURES}
        self._layers = {name: self._choice("layers", name) for name in LAYERS}
        for one in self._signs.values():
            self.ids.signs.add_widget(one)
        for one in self._layers.values():
            self.ids.layers.add_widget(one)

    def enter(
        self,
        whose: str = "",
        called: str = "",
        signs: Sequence[str] = (),
        in_class: str | None = None,
        **_given: Any,
    ) -> None:
        """``whose``: the id of the class or student, ``called`` their name; ``signs``: suggested ones."""
        self._whose, self._class = whose, in_class
        self._work: SetWork = self.app.desk.suggest(called, signs)
        self.title = said.for_whom(called)
        self.ids.note.text = self.fault = self.done = ""
        self.given = False
        for name, one in self._signs.items():
            one.caption = title(name)
        for name, one in self._layers.items():
            one.caption = captions(LAYER_NAMES)[name]
        self.ids.decks.clear_widgets()
        self._decks = {}
        for deck in self.app.practice.decks:
            row = YesNo(caption=deck.title, ident=f"deck-{deck.name}")
            row.bind(on_release=partial(self._switch, "decks", deck.name))
            self._decks[deck.name] = row
            self.ids.decks.add_widget(row)
        self.ids.scroll.scroll_y = 1
        self._show()

    def back(self) -> None:
        if self._whose == self._class:
            self.app.go("desk_class", in_class=self._class)
        else:
            self.app.go("desk_student", student=self._whose, in_class=self._class)

    def step_minutes(self, by: int) -> None:
        self._change(draft.minutes_stepped(self._work, by))

    def step_pace(self, by: int) -> None:
        self._change(draft.pace_stepped(self._work, by))

    def step_until(self, by: int) -> None:
        self._change(draft.days_stepped(self._work, by, self.app.desk.day))

    def give(self) -> bool:
        """Set it: who practises here has it at once."""
        desk = self.app.desk
        try:
            self._work = draft.noted(self._work, self.ids.note.text)
        except ValueError as refusal:
            self.fault, self.done = fault_said(refusal), ""
            return False
        desk.give(self._work, self._whose)
        self.given, self.fault = True, ""
        self.done = said.given(self._work, *desk.reach(self._whose))
        return True

    def save(self) -> None:
        """Set it, and write its file for whoever practises elsewhere."""
        if self.give():
            self.app.over(
                "choose_file",
                title=_("The file for the learners"),
                about=_("Each opens it under Learners, with Open set work."),
                caption=_("Save"),
                endings=(ENDING,),
                file_name=draft.file_name(self._work),
                then=self._save_to,
            )

    def acts(self) -> dict[str, Callable[[], object]]:
        return {"enter": self.give}

    def traced(self) -> dict[str, object]:
        return {
            "title": self.title,
            "signs": list(self._work.signs),
            "done": self.done,
            "fault": self.fault,
            "given": self.given,
        }

    def _save_to(self, path: Path) -> None:
        try:
            write_work(self._work, path)
        except SetWorkError as refusal:
            self.fault, self.done = fault_said(refusal), ""
            return
        self.done = deck_words.written_to(path)

    def _choice(self, kind: draft.Kind, name: str) -> Choice:
        one = Choice(ident=f"{kind}-{name}")
        one.bind(on_release=partial(self._switch, kind, name))
        return one

    def _switch(self, kind: draft.Kind, name: str, *_args: object) -> None:
        self._change(draft.switched(self._work, kind, name, list(self._decks)))

    def _change(self, work: SetWork) -> None:
        self._work, self.given, self.done = work, False, ""
        self._show()

    def _show(self) -> None:
        work = self._work
        self.minutes, self.pace = said.minutes_a_day(work.minutes), said.pace_set(work.pace)
        self.until = said.until(work.until)
        for kind, rows in (("signs", self._signs), ("layers", self._layers), ("decks", self._decks)):
            for name, one in rows.items():
                one.chosen = name in getattr(work, kind)


load_kv(__file__)
