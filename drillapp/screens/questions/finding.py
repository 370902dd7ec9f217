"""What a Reading check found: which signs are weak, which are no weaker than the others, which are open."""

from __future__ import annotations

from kivy.properties import BooleanProperty, ListProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.screens.frame.base import load_kv
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.questions.summary import End
from drillapp.words import checks as words
from drillapp.words.signs import title
from drillapp.words.standing import figure, untold


class FindingRow(BoxLayout):
    """A sign: its picture, its name, what the check found, and what is expected of it from all answers."""

    feature = StringProperty("")
    title = StringProperty("")
    figure = StringProperty("")
    untold = StringProperty("")
    reading = ListProperty([0, 0, 0])
    standing = StringProperty("")
    weak = BooleanProperty(False)


class FindingView(End):
    """Shown when a check is over, and to go back to while its answers are looked at."""

    sentence = StringProperty("")
    sureness = StringProperty("")

    def enter(self, drilling: DrillState | None = None, **_given: object) -> None:
        assert drilling is not None
        summary, finding, expected = drilling.summary(), drilling.finding(), drilling.expected()
        assert finding is not None
        read = sum(count for _, count in finding.read.values())
        self.heading = words.finding_heading(summary.questions, read, summary.seconds)
        self.sentence = words.finding_sentence(finding)
        self.sureness = words.sureness(finding.error_rate)
        self.ids.rows.clear_widgets()
        for features, standing in (
            (finding.weak, words.WEAK),
            (finding.undecided, words.OPEN),
            (finding.sound, words.WELL),
        ):
            for feature in features:
                one = expected[feature]
                row = FindingRow(feature=feature, title=title(feature))
                row.figure, row.untold = figure(one), untold(one, opened=True)
                row.reading = [one.low, one.middle, one.high]
                row.weak, row.standing = standing == words.WEAK, words.standing_name(standing)
                self.ids.rows.add_widget(row)
        self.ids.scroll.scroll_y = 1
        self._rows = [(row.feature, row.standing, row.figure) for row in self.ids.rows.children]

    def traced(self) -> dict[str, object]:
        return {"sentence": self.sentence, "rows": {name: rest for name, *rest in self._rows}}


load_kv(__file__)
