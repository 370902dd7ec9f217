"""Progress: every sign's accuracy on first-seen and met-before patterns, its trend, its misreadings."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from functools import partial
from typing import Any

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.learning import Forecast
from drillapp.practice.standing import FeatureProgress, TrendPoint
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets.focus import Choosable
from drillapp.screens.widgets.readings import FeatureRow
from drillapp.words.signs import meaning, title
from drillapp.words.standing import confusion, expected_today, short_day, unasked

AHEAD = timedelta(days=14)


class ProgressRow(Choosable, FeatureRow):
    """A feature in the list: sign, name, range on first-seen patterns; the chosen one is shown in full."""


class KindRow(BoxLayout):
    """One kind of pattern, first-seen or met-before: its range and its count."""

    caption = StringProperty("")
    reading = ListProperty([0, 0, 0])
    count = NumericProperty(0)
    weak = BooleanProperty(False)


class Progress(Screen):
    """How each sign reads, and how that moved."""

    feature = StringProperty("")
    title = StringProperty("")
    meaning = StringProperty("")
    expected = StringProperty("")
    confusions = StringProperty("")
    first_day = StringProperty("")
    last_day = StringProperty("")
    has_trend = BooleanProperty(False)
    has_ahead = BooleanProperty(False)
    who = StringProperty("")

    def enter(self, feature: str = "", **_given: Any) -> None:
        self.who = self.app.practice.learner.name
        self._all = {one.feature: one for one in self.app.practice.progress()}
        self._ahead = {one.feature: one for one in self.app.practice.forecast()}
        self._today = self.app.practice.day
        ordered = sorted(self._all.values(), key=lambda one: not one.opened)
        self.ids.rows.clear_widgets()
        for one in ordered:
            row = ProgressRow(ident=f"feature-{one.feature}")
            row.show(one.first_seen)
            row.opened = one.opened
            row.bind(on_release=lambda row: self.choose(row.feature))
            self.ids.rows.add_widget(row)
        if feature not in self._all:
            weak = [one for one in ordered if one.first_seen.weak]
            feature = (weak or ordered)[0].feature
        self.choose(feature)

    def choose(self, feature: str) -> None:
        """Show one feature in full."""
        one = self._all[feature]
        self.feature, self.title, self.meaning = feature, title(feature), meaning(feature)
        for row in self.ids.rows.children:
            row.chosen = row.feature == feature
        for kind, reading in (("first", one.first_seen), ("met", one.met_before)):
            shown = self.ids[kind]
            shown.reading = [reading.low, reading.middle, reading.high]
            shown.count, shown.weak = reading.count, reading.weak
        answers = one.first_seen.count + one.met_before.count
        ahead = self._ahead.get(feature) if answers else None
        self.expected = _expected(one, ahead) if answers else unasked(one.opened)
        self.confusions = "\n".join(map(confusion, one.confusions))
        self.has_trend = bool(one.trend)
        self.has_ahead = ahead is not None
        self.ids.chart.points = [_point(point) for point in one.trend]
        self.ids.chart.ahead = _points_ahead(ahead, self._today) if ahead else []
        days = [point.day for point in one.trend]
        days += [self._today, self._today + AHEAD] if ahead else []
        self.first_day = short_day(days[0]) if days else ""
        self.last_day = short_day(days[-1]) if len(days) > 1 else ""

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


def _expected(one: FeatureProgress, ahead: Forecast | None) -> str:
    if ahead is None:
        return expected_today(one.expected)
    return expected_today(one.expected, ahead.drilled.mean, ahead.without.mean)


def _points_ahead(ahead: Forecast, today: date) -> list[tuple[float, float, float, float]]:
    beliefs = ((today, ahead.today), (today + AHEAD, ahead.without), (today + AHEAD, ahead.drilled))
    return [(_number(day), belief.low, belief.mean, belief.high) for day, belief in beliefs]


def _point(point: TrendPoint) -> tuple[float, float, float, float]:
    return _number(point.day), point.low, point.middle, point.high


def _number(day: date) -> float:
    return float(day.toordinal())


load_kv(__file__)
