"""How forecasts held: what was expected of each answer before it was given, against what came."""

from __future__ import annotations

from typing import Any

from kivy.properties import StringProperty

from drillapp.learning import ForecastScore
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import readings
from drillapp.words.language import _
from drillapp.words.standing import forecasts_held

assert readings


class ForecastsHeld(Screen):
    """A chart of forecasts in groups, each against the share that came true; opened from Progress."""

    who = StringProperty("")
    sentence = StringProperty("")

    def enter(self, **_given: Any) -> None:
        self.who = self.app.practice.learner.name
        self.sentence = _("Going through the practice log ...")
        self.ids.chart.bins = []
        self._asked = object()
        asked = self._asked
        self.app.worker.do(self.app.practice.forecasts_held, lambda held: self._show(held, asked))

    def leave(self) -> None:
        self._asked = None

    def _show(self, held: ForecastScore, asked: object) -> None:
        if asked is not self._asked:
            return  # another learner's, or nobody looks any more
        self.ids.chart.bins = [
            (one.forecast, one.happened.low, one.happened.value, one.happened.high) for one in held.bins
        ]
        self.sentence = forecasts_held(held.count, held.error)

    def back(self) -> None:
        self.app.go("progress")

    def traced(self) -> dict[str, object]:
        return {"sentence": self.sentence, "bins": len(self.ids.chart.bins)}


load_kv(__file__)
