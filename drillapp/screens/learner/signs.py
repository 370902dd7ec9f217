"""Signs: all that there is to read, each with its drawing; a tap opens the lesson on it."""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.music import FEATURES
from drillapp.screens.frame.base import App, Screen, load_kv
from drillapp.screens.look.look import look
from drillapp.screens.widgets import sign
from drillapp.screens.widgets.focus import Focusable
from drillapp.words.lessons import lesson_title, state_of
from drillapp.words.signs import meaning

__all__ = ["Signs", "sign"]


class SignRow(Focusable, BoxLayout):
    """A sign's drawing, its name, what it is, and whether it was met."""

    feature = StringProperty("")
    caption = StringProperty("")
    meaning = StringProperty("")
    state_words = StringProperty("")
    met = BooleanProperty(False)


class Signs(Screen):
    """The list of the signs."""

    columns = NumericProperty(2)

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._rows = tuple(SignRow(feature=feature, ident=f"sign-{feature}") for feature in FEATURES)
        for row in self._rows:
            row.bind(on_release=lambda row: self.open(row.feature))
            self.ids.rows.add_widget(row)

    def enter(self, **_given: Any) -> None:
        practice = self.app.practice
        met, opened = practice.met_signs(), practice.open_signs()
        for row in self._rows:
            row.caption, row.meaning = lesson_title(row.feature), meaning(row.feature)
            row.met = row.feature in met
            row.state_words = state_of(row.met, row.feature in opened)
            row.shown_state = "met" if row.met else ""
        self.arrange()

    def arrange(self) -> None:
        """One column or two, by the window's shape and the size of the words."""
        self.columns = 1 if look.portrait or look.text_size > 1.3 else 2

    def open(self, feature: str) -> None:
        """Show the lesson on a sign, and come back here."""
        self.app.go("meet", feature=feature, then=lambda: self.app.go("signs"))


load_kv(__file__)
