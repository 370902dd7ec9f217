"""The end of a session: what was practised and what moved."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kivy.properties import ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.practice.sitting import Span
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.widgets import readings
from drillapp.words.plan import summary_heading
from drillapp.words.signs import title

assert readings


class SummaryRow(BoxLayout):
    """A feature: its sign, its name, how many were right of how many, its range before and after."""

    feature = StringProperty("")
    title = StringProperty("")
    asked = NumericProperty(0)
    right = NumericProperty(0)
    reading = ListProperty([0, 0, 0])
    before = ListProperty([])


class End(Screen):
    """What a sitting came to; from here it goes back to Today."""

    heading = StringProperty("")

    def acts(self) -> dict[str, Callable[[], object]]:
        return {"enter": partial(self.app.go, "today")}


class SummaryView(End):
    """Shown after the last answer."""

    def enter(self, drilling: DrillState | None = None, **_given: object) -> None:
        assert drilling is not None
        summary = drilling.summary()
        self.heading = summary_heading(summary.questions, summary.seconds, summary.right)
        self.ids.lines.clear_widgets()
        for line in summary.lines:
            row = SummaryRow(
                feature=line.feature, title=title(line.feature), asked=line.asked, right=line.right
            )
            row.reading, row.before = _span(line.after), _span(line.before)
            self.ids.lines.add_widget(row)
        self.ids.scroll.scroll_y = 1


def _span(belief: Span) -> list[float]:
    return [belief.low, belief.middle, belief.high]


load_kv(__file__)
