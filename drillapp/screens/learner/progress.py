"""Progress: what is expected of every sign, how that moved, the answers counted, and twelve weeks of days."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from typing import Any

from kivy.properties import BooleanProperty, ListProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.learning import Expected, Forecast
from drillapp.music import FEATURES
from drillapp.practice.tally import DayCount
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets.focus import Choosable
from drillapp.screens.widgets.readings import FeatureRow
from drillapp.words.signs import meaning, title
from drillapp.words.standing import (
    ahead,
    confusion,
    counts_of,
    expected_today,
    most_a_day,
    over_chart,
    short_day,
)

AHEAD = timedelta(days=14)


class ProgressRow(Choosable, FeatureRow):
    """A feature in the list: sign, name, expected range; the chosen one is shown in full."""


class CountRow(BoxLayout):
    """A row of the table of counts: the kind of pattern, answers, right, share without guessing."""

    caption = StringProperty("")
    count = StringProperty("")
    right_count = StringProperty("")
    share = StringProperty("")
    heading = BooleanProperty(False)


class Weeks(BoxLayout):
    """Days as bars, with what the highest of them stands for."""

    caption = StringProperty("")
    most = StringProperty("")
    values = ListProperty([])


class Progress(Screen):
    """How each sign reads, and how that moved."""

    feature = StringProperty("")
    title = StringProperty("")
    meaning = StringProperty("")
    expected = StringProperty("")
    ahead = StringProperty("")
    confusions = StringProperty("")
    over_chart = StringProperty("")
    first_day = StringProperty("")
    last_day = StringProperty("")
    weeks_from = StringProperty("")
    weeks_to = StringProperty("")
    has_course = BooleanProperty(False)
    has_answers = BooleanProperty(False)
    who = StringProperty("")

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        # A row takes long to make and no time to change, so all are made once.
        self._made = {feature: self._row(feature) for feature in FEATURES}

    def enter(self, feature: str = "", **_given: Any) -> None:
        self.who = self.app.practice.learner.name
        self._all = {one.feature: one for one in self.app.practice.progress()}
        self._today = self.app.practice.day
        ordered = sorted(self._all.values(), key=lambda one: not one.reading.opened)
        rows = [self._made[one.feature] for one in ordered]
        for row, one in zip(rows, ordered, strict=True):
            row.show(one.reading)
        if list(reversed(self.ids.rows.children)) != rows:
            self.ids.rows.clear_widgets()
            for row in rows:
                self.ids.rows.add_widget(row)
        if feature not in self._all:
            weak = [one for one in ordered if one.reading.weak]
            feature = (weak or ordered)[0].feature
        self.choose(feature)
        self._show_days(self.app.practice.days())
        self.ids.detail.scroll_y = 1

    def _row(self, feature: str) -> ProgressRow:
        row = ProgressRow(ident=f"feature-{feature}")
        row.bind(on_release=lambda row: self.choose(row.feature))
        return row

    def _show_days(self, days: tuple[DayCount, ...]) -> None:
        self.weeks_from, self.weeks_to = short_day(days[0].day), short_day(days[-1].day)
        minutes, questions = self.ids.minutes, self.ids.questions
        minutes.values = [day.minutes for day in days]
        minutes.most = most_a_day(max(minutes.values), True)
        questions.values = [day.questions for day in days]
        questions.most = most_a_day(max(questions.values), False)

    def choose(self, feature: str) -> None:
        """Show one feature in full."""
        one = self._all[feature]
        self.feature, self.title, self.meaning = feature, title(feature), meaning(feature)
        for row in self.ids.rows.children:
            row.chosen = row.feature == feature
        for kind, counts in (("first", one.first_seen), ("met", one.met_before)):
            shown = self.ids[kind]
            shown.count, shown.right_count, shown.share = counts_of(counts)
        self.has_answers = bool(one.first_seen.count + one.met_before.count)
        self.expected = expected_today(one.reading.expected, one.reading.opened)
        self.ahead = ahead(one.ahead) if one.ahead else ""
        self.confusions = "\n".join(map(confusion, one.confusions))
        course = [(end.day, end.expected[feature]) for end in one.course]
        differs = one.ahead is not None and one.ahead.differs
        self.has_course = bool(course)
        self.over_chart = over_chart(differs)
        self.ids.chart.points = [_point(day, expected) for day, expected in course if expected.known]
        self.ids.chart.ahead = _points_ahead(one.ahead, self._today) if one.ahead else []
        days = [day for day, expected in course if expected.known]
        days += [self._today, self._today + AHEAD] if self.ids.chart.ahead else []
        self.first_day = short_day(days[0]) if days else ""
        self.last_day = short_day(days[-1]) if len(days) > 1 else ""

    def traced(self) -> dict[str, object]:
        return {"figures": {row.feature: row.figure for row in self.ids.rows.children}}

    def acts(self) -> dict[str, Callable[[], object]]:
        if self.app.focus.current() is not None:
            return {}
        return {"up": partial(self.move, -1), "down": partial(self.move, 1)}

    def move(self, by: int) -> None:
        """On to a feature further down the list, or up."""
        rows = list(reversed(self.ids.rows.children))
        here = next((n for n, row in enumerate(rows) if row.chosen), 0)
        there = rows[min(max(here + by, 0), len(rows) - 1)]
        self.choose(there.feature)
        self.ids.scroll.scroll_to(there, animate=False)


def _points_ahead(one: Forecast, today: date) -> list[tuple[float, float, float, float]]:
    """Today and two weeks ahead: one end where the drill makes no difference that can be told, else two."""
    if not (one.today.known and one.without.known and one.drilled.known):
        return []
    later = (one.without, one.drilled) if one.differs else (one.without,)
    return [_point(today, one.today), *(_point(today + AHEAD, each) for each in later)]


def _point(day: date, one: Expected) -> tuple[float, float, float, float]:
    return _number(day), one.low, one.middle, one.high


def _number(day: date) -> float:
    return float(day.toordinal())


load_kv(__file__)
