"""What a Reading check found: which signs are weak, which read well, which are still open."""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.screens.frame.base import load_kv
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.questions.summary import End
from drillapp.words import checks as words
from drillapp.words.signs import title


class FindingRow(BoxLayout):
    """A sign: its picture, its name, how many of it were read right of how many, and what follows."""

    feature = StringProperty("")
    title = StringProperty("")
    right = NumericProperty(0)
    count = NumericProperty(0)
    standing = StringProperty("")
    weak = BooleanProperty(False)


class FindingView(End):
    """Shown when a check is over, and to go back to while its answers are looked at."""

    sentence = StringProperty("")
    sureness = StringProperty("")

    def enter(self, drilling: DrillState | None = None, **_given: object) -> None:
        assert drilling is not None
        summary, finding = drilling.summary(), drilling.finding()
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
                right, count = finding.read[feature]
                row = FindingRow(feature=feature, title=title(feature), right=right, count=count)
                row.weak, row.standing = standing == words.WEAK, words.standing_name(standing)
                self.ids.rows.add_widget(row)
        self.ids.scroll.scroll_y = 1
        self._rows = [(row.feature, row.standing, row.right, row.count) for row in self.ids.rows.children]

    def traced(self) -> dict[str, object]:
        return {"sentence": self.sentence, "rows": {name: rest for name, *rest in self._rows}}


load_kv(__file__)
