"""Today: who practises, what the drill holds and why, one large Start, and how the signs read now."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.drills import NoQuestion
from drillapp.practice.notice import Notice
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.questions import flow
from drillapp.screens.widgets.readings import ReadingRow
from drillapp.words.checks import no_check
from drillapp.words.faults import fault_said
from drillapp.words.plan import drill_heading, why_there
from drillapp.words.signs import title


class PlanRow(BoxLayout):
    """One line of the plan: a feature's sign, its name, why it is there, and a dot for each question."""

    feature = StringProperty("")
    title = StringProperty("")
    why = StringProperty("")
    count = NumericProperty(0)


class Today(Screen):
    """The first screen of the day."""

    who = StringProperty("")
    heading = StringProperty("")
    unfinished = BooleanProperty(False)

    def enter(self, **_given: Any) -> None:
        today = self.app.practice.today()
        self.who = today.learner.name
        self.unfinished = today.unfinished
        self.heading = drill_heading(today.questions, today.minutes, today.unfinished)
        self.ids.plan.clear_widgets()
        for line in today.lines:
            self.ids.plan.add_widget(
                PlanRow(
                    feature=line.feature,
                    title=title(line.feature),
                    why=why_there(line.reason),
                    count=line.count,
                )
            )
        for notice in today.notices:
            self.app.tell(notice)
        self.ids.readings.clear_widgets()
        for reading in sorted(today.readings, key=lambda reading: not reading.opened):
            row = ReadingRow(ident=f"reading-{reading.feature}")
            row.show(reading)
            row.bind(on_release=lambda row: self.app.go("progress", feature=row.feature))
            self.ids.readings.add_widget(row)
        self.ids.scroll.scroll_y = 1

    def start(self) -> None:
        flow.begin(self.app, self.app.practice.start())

    def check(self) -> None:
        """Begin a Reading check, or say why there is nothing to check."""
        try:
            session = self.app.practice.start_check()
        except NoQuestion as nothing:
            self.app.tell(Notice("plan", no_check(fault_said(nothing))))
            return
        flow.begin(self.app, session)

    def acts(self) -> dict[str, Callable[[], object]]:
        return {"enter": self.start, "c": self.check}

    def back(self) -> None:
        """There is nothing behind Today."""


load_kv(__file__)
