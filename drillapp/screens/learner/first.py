"""The first start: a name, then one question, is strum notation new; and what a placing check found.

Whoever is new goes to the first lessons, whoever reads some to a short placing check. Each step can be passed
over, and Learners leads here again.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import BooleanProperty, OptionProperty, StringProperty

from drillapp.drills import NoQuestion
from drillapp.drills.growth import TOGETHER
from drillapp.music import FEATURES
from drillapp.practice.learner import FIRST_LEARNER
from drillapp.practice.notice import Notice
from drillapp.screens.frame.base import App, Screen, load_kv
from drillapp.screens.questions import flow
from drillapp.screens.questions.drill_state import DrillState
from drillapp.words import first as words
from drillapp.words.checks import no_check
from drillapp.words.faults import fault_said

NAME, READS, PLACED = "name", "reads", "placed"


class First(Screen):
    """``step``: which of the three is shown; ``again``: it was opened from Learners."""

    step = OptionProperty(NAME, options=[NAME, READS, PLACED])
    again = BooleanProperty(False)
    who = StringProperty("")
    heading = StringProperty("")
    found = StringProperty("")
    refusal = StringProperty("")

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._steps = {step: self.ids[step].__self__ for step in (NAME, READS, PLACED)}

    def enter(self, drilling: DrillState | None = None, again: bool = False, **_given: Any) -> None:
        practice = self.app.practice
        self.refusal, self.again = "", again
        self.who = practice.learner.name
        if drilling is not None:
            holds = practice.take_place(drilling.sitting)
            self.heading = words.placed_heading(holds)
            self.found = words.placed_words(holds, [one for one in FEATURES if one not in holds])
            self.step = PLACED
        else:
            self.step = NAME if self.who == FIRST_LEARNER and not again else READS
        self._lay_out()

    def named(self) -> None:
        """Keep the name that was written; without one it stays as it is."""
        name = self.ids.field.text.strip()
        if name:
            try:
                self.app.practice.who.rename(self.app.practice.learner.id, name)
            except (ValueError, LookupError) as refusal:
                self.refusal = fault_said(refusal)
                return
        self.who, self.refusal, self.step = self.app.practice.learner.name, "", READS
        self._lay_out()

    def is_new(self) -> None:
        """The first lessons, one after another, then Today."""
        self.app.practice.begin()
        self._teach(TOGETHER)

    def reads_some(self) -> None:
        """The placing check, or what stands in its way."""
        try:
            flow.begin(self.app, self.app.practice.start_placing())
        except NoQuestion as nothing:
            self.app.practice.begin()
            self.app.tell(Notice("plan", no_check(fault_said(nothing))))
            self.app.go("today")

    def skip(self) -> None:
        """To Today; every sign is shown in its lesson when it comes."""
        if self.step == NAME:
            self.ids.field.text = ""
            self.named()
            return
        if self.step == READS:
            self.app.practice.begin()
        self.app.go("today")

    def back(self) -> None:
        """Where it was opened from Learners, back there; else it is a step that is passed over."""
        if self.again and self.step == READS:
            self.app.go("learners")
        else:
            self.skip()

    def acts(self) -> dict[str, Callable[[], object]]:
        if self.step == NAME:
            return {"enter": self.named}
        if self.step == READS:
            return {"1": self.is_new, "2": self.reads_some}
        return {"enter": self.skip}

    def traced(self) -> dict[str, object]:
        return {"step": self.step, "who": self.who, "heading": self.heading, "found": self.found}

    def _teach(self, signs: tuple[str, ...]) -> None:
        if signs:
            self.app.go("meet", feature=signs[0], then=lambda: self._teach(signs[1:]))
        else:
            self.app.go("today")

    def _lay_out(self) -> None:
        """Only the step that is shown is there: a hidden control would still take touches."""
        self.ids.steps.clear_widgets()
        self.ids.steps.add_widget(self._steps[self.step])
        if self.step == NAME:
            self.app.later(lambda: setattr(self.ids.field, "focus", True))


load_kv(__file__)
