"""A class: its students by signs, what most of them misread, who was seen when, what is done of set work."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.recycleview.views import RecycleDataViewBehavior

from drillapp.desk.class_view import ORDERS, PERIODS, View, absent, rows_of
from drillapp.desk.desk import DeskTable, signs_to_set
from drillapp.desk.told import told
from drillapp.screens.frame.base import App, Screen, load_kv
from drillapp.screens.widgets import head, sign_ranges
from drillapp.screens.widgets.focus import Focusable
from drillapp.words import desk_screens as said
from drillapp.words import students as words
from drillapp.words.language import _

__all__ = ["ClassStudentRow", "DeskClass", "head", "sign_ranges"]


class ClassStudentRow(Focusable, RecycleDataViewBehavior, BoxLayout):
    """A student: name, ranges, when seen, set work."""

    caption = StringProperty("")
    cells = ListProperty([])
    seen = StringProperty("")
    minutes = StringProperty("")
    work = StringProperty("")
    index = NumericProperty(0)

    def refresh_view_attrs(self, view: Any, index: int, data: dict[str, Any]) -> None:
        self.index = index
        super().refresh_view_attrs(view, index, data)

    def on_release(self) -> None:
        self.parent.recycleview.choose(int(self.index))


class DeskClass(Screen):
    """``view``: how it is looked at, kept while the desk is open."""

    title = StringProperty("")
    sentence = StringProperty("")
    evidence = StringProperty("")
    legend = StringProperty("")
    order = StringProperty("")
    period = StringProperty("")
    deck = StringProperty("")
    only_weak = BooleanProperty(False)
    working = BooleanProperty(False)
    some = BooleanProperty(False)
    found = BooleanProperty(False)

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self.view = View()
        self.ids.rows.choose = self.choose
        self._class: str | None = None
        self._table: DeskTable | None = None

    def enter(self, in_class: str | None = None, **_given: Any) -> None:
        if in_class != self._class:
            self.view = View()
        self._class = in_class
        classes = self.app.desk.log.classes.all(archived=True)
        self.title = next((one.name for one in classes if one.id == in_class), said.no_class_name())
        self.some = in_class is not None
        self._table = None
        self.ids.rows.data = []
        self.sentence = self.evidence = self.legend = ""
        self.ids.rows.scroll_y = 1
        self._count()

    def back(self) -> None:
        self.app.go("desk")

    def choose(self, index: int) -> None:
        self.app.go("desk_student", student=self._rows[index].id, in_class=self._class)

    def choose_sign(self, sign: str) -> None:
        """Sort by a sign, the lowest first; once more, and the order is what it was."""
        self._look(replace(self.view, sign=None if self.view.sign == sign else sign))

    def next_order(self) -> None:
        order = ORDERS[(ORDERS.index(self.view.order) + 1) % len(ORDERS)]
        self._look(replace(self.view, order=order, sign=None))

    def switch_weak(self) -> None:
        self._look(replace(self.view, only_weak=not self.view.only_weak))

    def next_period(self) -> None:
        weeks = PERIODS[(PERIODS.index(self.view.weeks) + 1) % len(PERIODS)]
        self.view = replace(self.view, weeks=weeks)
        self._count()

    def choose_deck(self) -> None:
        decks = self.app.practice.decks
        rows = [(said.every_deck(), ""), *((deck.title, "") for deck in decks)]
        names = [None, *(deck.name for deck in decks)]

        def then(index: int) -> None:
            self.view = replace(self.view, deck=names[index])
            self._count()

        self.app.over(
            "choose_row",
            title=_("Answers on which pages"),
            rows=rows,
            chosen=names.index(self.view.deck) if self.view.deck in names else 0,
            then=then,
        )

    def set_work(self) -> None:
        if self._table is not None and self._class is not None:
            signs = signs_to_set(self._table.table)
            self.app.go("desk_work", whose=self._class, called=self.title, signs=signs, in_class=self._class)

    def print(self) -> None:
        """A report on the class as it is looked at."""
        view = self.view
        deck = next((one for one in self.app.practice.decks if one.name == view.deck), None)
        since = view.since(self.app.desk.day)
        self.app.over("desk_print", of="class", key=self._class, called=self.title, since=since, deck=deck)

    def traced(self) -> dict[str, object]:
        return {
            "title": self.title,
            "sentence": self.sentence,
            "working": self.working,
            "students": [row.name for row in self._rows] if self._table else [],
        }

    def _count(self) -> None:
        """Count in the background: many answers may be new, or of another deck."""
        desk, view, key = self.app.desk, self.view, self._class
        decks = self.app.practice.decks
        texts = (
            None
            if view.deck is None
            else frozenset(
                one.pattern.text for deck in decks if deck.name == view.deck for one in deck.patterns
            )
        )
        self.working = True
        self._say_view()

        def then(table: DeskTable) -> None:
            if (self.view, self._class) == (view, key):
                self.working, self._table = False, table
                self._look(view)

        self.app.worker.do(lambda: desk.table(key, view.since(desk.day), texts), then)

    def _say_view(self) -> None:
        view = self.view
        self.order, self.period = words.order_name(view.order), words.period(view.weeks)
        titles = {deck.name: deck.title for deck in self.app.practice.decks}
        self.deck = titles.get(view.deck or "", said.every_deck())
        self.only_weak = view.only_weak

    def _look(self, view: View) -> None:
        self.view = view
        self._say_view()
        table = self._table
        if table is None:
            return
        by_most = table.table.by_most
        self.found = bool(by_most)
        self.sentence = words.by_most(by_most)
        self.evidence = words.evidence(by_most[0]) if by_most else ""
        if more := words.others_by_most(by_most):
            self.evidence = said.beside(self.evidence, more)
        self.legend = words.legend(absent(table))
        self.ids.heads.show(table.table.signs, view.sign)
        self._rows = rows_of(table, view)
        today = self.app.desk.day
        self.ids.rows.data = [
            {
                "caption": row.name,
                "ident": f"student-{number}",
                "cells": [
                    (told(cell.share, cell.weak), cell.share.low, cell.share.middle, cell.share.high)
                    for cell in row.cells
                ],
                "seen": words.seen(table.seen[row.id], today),
                "minutes": words.minutes(row.minutes),
                "work": words.work(table.work[row.id], table.seen[row.id] is not None),
            }
            for number, row in enumerate(self._rows)
        ]


load_kv(__file__)
