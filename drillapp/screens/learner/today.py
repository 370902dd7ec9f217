"""Today: who practises, what the drill holds and why, one large Start, and how the signs read now."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from drillapp.drills import NoQuestion
from drillapp.practice.notice import Notice
from drillapp.practice.plan import weightiest
from drillapp.practice.standing import in_order_of_need
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.look.look import look
from drillapp.screens.questions import flow
from drillapp.screens.widgets.readings import ReadingRow
from drillapp.words.checks import no_check
from drillapp.words.faults import fault_said
from drillapp.words.language import _
from drillapp.words.plan import drill_heading, more_lines, why_there
from drillapp.words.set_work import running
from drillapp.words.signs import title
from drillapp.words.standing import more_on_progress

MOST_LINES = 4
SOON = 0.6  # s after which the screen that is likeliest to be looked at next is built
FEWEST_READINGS = 3


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
    more = StringProperty("")
    work = StringProperty("")
    more_readings = StringProperty("")
    unfinished = BooleanProperty(False)
    days = ListProperty([])
    filled = BooleanProperty(False)
    _asked: object = None

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self._made: dict[str, ReadingRow] = {}  # by feature: a row takes long to make and no time to change
        self._lines = [PlanRow() for _number in range(MOST_LINES)]
        self._rows: list[ReadingRow] = []
        self._order: list[str] = []
        self._laid_out: set[str] = set()
        refit = Clock.create_trigger(self._fit_readings)
        self.ids.scroll.bind(height=refit)
        for box in (self.ids.rest, self.ids.heads, self.ids.readings):
            box.bind(minimum_height=refit)

    def enter(self, **_given: Any) -> None:
        practice = self.app.practice
        self.who = practice.learner.name
        if practice.ready:
            self._fill()
            return
        # A long log takes a moment: the first frame does not wait for it.
        self.filled, self.heading = False, _("Going through the practice log ...")
        asked = self._asked = object()

        def take_up(_dt: float) -> None:
            self.app.worker.do(practice.take_up, lambda _done: self._fill() if asked is self._asked else None)

        # What is put off until the next frame in the one that is drawn first comes after it.
        Clock.schedule_once(lambda _dt: Clock.schedule_once(take_up, 0), 0)

    def leave(self) -> None:
        self._asked = None

    def _fill(self) -> None:
        today = self.app.practice.today()
        for notice in today.notices:
            self.app.tell(notice)
        self.filled, self.unfinished = True, today.unfinished
        self.heading = drill_heading(today.questions, today.minutes, today.unfinished)
        self.work = running(today.work) if today.work else ""
        shown, rest = weightiest(today.lines, MOST_LINES)
        self.more = more_lines(len(rest))
        for row, line in zip(self._lines, shown, strict=False):
            row.feature, row.title = line.feature, title(line.feature)
            row.why, row.count = why_there(line.reason), line.count
        _hold(self.ids.plan, self._lines[: len(shown)])
        self.days = [day.minutes for day in today.days]
        self._rows = []
        for reading in in_order_of_need(today.readings, [line.feature for line in shown]):
            row = self._row(reading.feature)
            row.show(reading)
            self._rows.append(row)
        self._order = [reading.feature for reading in today.readings]
        self._fit_readings()
        self.ids.scroll.scroll_y = self.ids.plan_scroll.scroll_y = 1
        Clock.schedule_once(lambda _dt: self.app.build_ahead("progress"), SOON)

    def _row(self, feature: str) -> ReadingRow:
        if feature not in self._made:
            row = self._made[feature] = ReadingRow(ident=f"reading-{feature}")
            row.bind(on_release=lambda row: self.app.go("progress", feature=row.feature))
        return self._made[feature]

    def _fit_readings(self, *_args: object) -> None:
        """As many readings as there is room for, those most needed, in the order of the course."""
        box = self.ids.readings
        self._laid_out.update(row.feature for row in box.children)
        room = self.ids.scroll.height - self.ids.rest.minimum_height - self.ids.heads.minimum_height
        count = 0
        for row in self._rows:
            # How high a row is that was never in the list is not known yet: it is tried.
            room -= row.height if row.feature in self._laid_out else look.target
            if room < 0 and count >= FEWEST_READINGS:
                break
            count += 1
        self.more_readings = more_on_progress(len(self._rows) - count)
        _hold(box, sorted(self._rows[:count], key=lambda row: self._order.index(row.feature)))

    def start(self) -> None:
        if self.filled:
            flow.begin(self.app, self.app.practice.start())

    def check(self) -> None:
        """Begin a Reading check, or say why there is nothing to check."""
        if not self.filled:
            return
        try:
            session = self.app.practice.start_check()
        except NoQuestion as nothing:
            self.app.tell(Notice("plan", no_check(fault_said(nothing))))
            return
        flow.begin(self.app, session)

    def play_along(self) -> None:
        self.app.go("play_along")

    def acts(self) -> dict[str, Callable[[], object]]:
        return {"enter": self.start, "q": self.check, "p": self.play_along}

    def traced(self) -> dict[str, object]:
        return {
            "filled": self.filled,
            "work": self.work,
            "readings": {row.feature: row.figure for row in self._rows},
        }

    def back(self) -> None:
        """There is nothing behind Today."""


def _hold(box: BoxLayout, rows: Sequence[Widget]) -> None:
    """Put these rows into a box, unless it holds them already."""
    if list(reversed(box.children)) != list(rows):
        box.clear_widgets()
        for row in rows:
            box.add_widget(row)


load_kv(__file__)
