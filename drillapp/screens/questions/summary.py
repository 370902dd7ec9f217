"""The end of a session: what was practised and what moved."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kivy.properties import ListProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.learning import Expected
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.widgets import readings
from drillapp.words.plan import summary_heading, what_comes, what_moved
from drillapp.words.signs import title
from drillapp.words.standing import figure, untold

assert readings


class SummaryRow(BoxLayout):
    """A feature: its sign, its name, its figure, its range before and after."""

    feature = StringProperty("")
    title = StringProperty("")
    figure = StringProperty("")
    untold = StringProperty("")
    reading = ListProperty([0, 0, 0])
    before = ListProperty([])


class End(Screen):
    """What a sitting came to; from here it goes back to Today."""

    heading = StringProperty("")

    def acts(self) -> dict[str, Callable[[], object]]:
        return {"enter": partial(self.app.go, "today")}


class SummaryView(End):
    """Shown after the last answer: a sentence on what got better, one on what comes next, the ranges."""

    moved = StringProperty("")
    comes = StringProperty("")

    def enter(self, drilling: DrillState | None = None, **_given: object) -> None:
        assert drilling is not None
        summary = drilling.summary()
        today = self.app.practice.today()
        self.heading = summary_heading(summary.questions, summary.seconds)
        self.moved = what_moved([line for line in summary.lines if line.better], bool(summary.lines))
        self.comes = what_comes(today.lines, today.unfinished)
        self.ids.lines.clear_widgets()
        for line in summary.lines:
            row = SummaryRow(feature=line.feature, title=title(line.feature))
            row.figure, row.untold = figure(line.after), untold(line.after, opened=True)
            row.reading = _span(line.after)
            row.before = _span(line.before) if line.before.known else []
            self.ids.lines.add_widget(row)
        self.ids.scroll.scroll_y = 1


def _span(one: Expected) -> list[float]:
    return [one.low, one.middle, one.high]


load_kv(__file__)
