"""What a Reading check found: which signs are weak, which read well, which are still open."""

from __future__ import annotations

from kivy.properties import NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.music import FEATURE_TABLE
from drillapp.screens.frame.base import load_kv
from drillapp.screens.questions.drill_state import DrillState
from drillapp.screens.questions.summary import End, spent

WEAK, OPEN, WELL = "weak", "still open", "reads well"


class FindingRow(BoxLayout):
    """A sign: its picture, its name, how many of it were read right of how many, and what follows."""

    feature = StringProperty("")
    title = StringProperty("")
    right = NumericProperty(0)
    count = NumericProperty(0)
    standing = StringProperty("")


class FindingView(End):
    """Shown when a check is over, and to go back to while its answers are looked at."""

    sentence = StringProperty("")
    sureness = StringProperty("")

    def enter(self, drilling: DrillState | None = None, **_given: object) -> None:
        assert drilling is not None
        summary, finding = drilling.summary(), drilling.finding()
        assert finding is not None
        pages = f"{summary.questions} page" + ("s" if summary.questions != 1 else "")
        read = sum(count for _, count in finding.read.values())
        self.heading = f"{pages}, {read} signs read, in {spent(summary.seconds)}"
        self.sentence = finding.sentence
        self.sureness = (
            f"At most one check in {round(1 / finding.error_rate)} calls a sign weak that is read as well as "
            "the others. Signs still open need more pages: the daily drill goes on asking."
        )
        self.ids.rows.clear_widgets()
        for features, standing in (
            (finding.weak, WEAK),
            (finding.undecided, OPEN),
            (finding.sound, WELL),
        ):
            for feature in features:
                right, count = finding.read[feature]
                title = FEATURE_TABLE[feature].title
                row = FindingRow(feature=feature, title=title, right=right, count=count, standing=standing)
                self.ids.rows.add_widget(row)
        self.ids.scroll.scroll_y = 1
        self._rows = [(row.feature, row.standing, row.right, row.count) for row in self.ids.rows.children]

    def traced(self) -> dict[str, object]:
        return {"sentence": self.sentence, "rows": {name: rest for name, *rest in self._rows}}


load_kv(__file__)
