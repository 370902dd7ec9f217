"""Learners: who practises here; add, rename, put aside, bring back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.records.set_work import ENDING
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import head
from drillapp.words.desk_screens import taken_off
from drillapp.words.faults import fault_said
from drillapp.words.language import _

__all__ = ["LearnerRow", "Learners", "head"]


class LearnerRow(BoxLayout):
    """A learner: choose, rename, put aside; or bring back."""

    key = StringProperty("")
    name = StringProperty("")
    chosen = BooleanProperty(False)
    archived = BooleanProperty(False)
    renaming = BooleanProperty(False)

    __events__ = ("on_choose", "on_rename", "on_renamed", "on_archive", "on_restore")

    def edit(self) -> None:
        """Write another name, in place of the one that is there."""
        self.ids.field.focus = True
        self.ids.field.select_all()

    def on_choose(self) -> None: ...
    def on_rename(self) -> None: ...
    def on_renamed(self, name: str) -> None: ...
    def on_archive(self) -> None: ...
    def on_restore(self) -> None: ...


class Learners(Screen):
    """Everyone who practises on this device."""

    refusal = StringProperty("")
    put_aside = StringProperty("")
    put_aside_name = StringProperty("")
    renaming = StringProperty("")
    who = StringProperty("")

    def enter(self, **_given: Any) -> None:
        self.refusal = self.put_aside = self.renaming = ""
        self.refresh()

    def refresh(self) -> None:
        practice = self.app.practice
        self.who = practice.learner.name
        self.ids.rows.clear_widgets()
        everyone = sorted(practice.who.all(archived=True), key=lambda one: one.archived)
        for one in everyone:
            row = LearnerRow(
                key=one.id,
                name=one.name,
                chosen=one.id == practice.learner.id,
                archived=one.archived,
                renaming=one.id == self.renaming,
            )
            row.bind(
                on_choose=lambda row: self._do(practice.who.choose, row.key),
                on_rename=lambda row: self.rename(row.key),
                on_renamed=lambda row, name: self.renamed(row.key, row.name, name),
                on_archive=lambda row: self.archive(row.key, row.name),
                on_restore=lambda row: self._do(practice.who.restore, row.key),
            )
            self.ids.rows.add_widget(row)
            if row.renaming:
                self.app.later(row.edit)

    def add(self) -> None:
        name = self.ids.name.text
        if not name.strip():
            self.refusal = _("Write a name first.")
            return
        if self._do(self._added, name):
            self.ids.name.text = ""
            self.app.go("first", again=True)

    def _added(self, name: str) -> None:
        who = self.app.practice.who
        who.choose(who.add(name).id)

    def open_work(self) -> None:
        """Choose a file of set work."""
        self.app.over(
            "choose_file",
            title=_("Open set work"),
            about=_("The file that your teacher gave you; what it asks is shown before it holds."),
            caption=_("Open"),
            endings=(ENDING,),
            then=lambda path: self.app.go("work_file", path=path),
        )

    def open_desk(self) -> None:
        """The teacher's desk, by its lock where it has one."""
        desk = self.app.desk
        done = taken_off() if desk.lock.recover() else ""
        if desk.open:
            self.app.go("desk", done=done)
        else:
            self.app.go("desk_lock")

    def place(self) -> None:
        """Ask the learner anew what is read already."""
        self.app.go("first", again=True)

    def rename(self, key: str) -> None:
        self.renaming = key
        self.refresh()

    def renamed(self, key: str, old: str, new: str) -> None:
        kept = not new.strip() or new == old
        if kept or self._do(self.app.practice.who.rename, key, new, refresh=False):
            self.renaming = ""
            self.refresh()

    def archive(self, key: str, name: str) -> None:
        if self._do(self.app.practice.who.archive, key):
            self.put_aside, self.put_aside_name = key, name

    def undo_archive(self) -> None:
        if self._do(self.app.practice.who.restore, self.put_aside):
            self.put_aside = ""

    def back(self) -> None:
        if self.renaming:
            self.renaming = ""
            self.refresh()
        else:
            super().back()

    def _do(self, act: Callable[..., object], *given: str, refresh: bool = True) -> bool:
        """Do it and show everyone anew; say why where it is refused."""
        try:
            act(*given)
        except (ValueError, LookupError) as refusal:
            self.refusal = fault_said(refusal)
            return False
        self.refusal = ""
        if refresh:
            self.refresh()
        return True


load_kv(__file__)
