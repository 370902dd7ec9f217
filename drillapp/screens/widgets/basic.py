"""What every screen is made of: text, buttons, cards, keycaps, small marks."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, SmoothLine, SmoothRoundedRectangle
from kivy.lang import Builder
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label
from kivy.uix.scrollview import ScrollView
from kivy.uix.textinput import TextInput
from kivy.uix.widget import Widget

from drillapp.screens.look.look import look
from drillapp.screens.widgets.focus import Focusable


class Words(Label):
    """Text that wraps in its width and is as high as it needs to be; ``natural`` text keeps to one line."""

    natural = BooleanProperty(False)


class Card(BoxLayout):
    """A sheet of page colour with a hairline round it."""


class Keycap(Label):
    """The name of a key, drawn as a key; shown only where hints are."""


class Press(Focusable, Label):
    """A button with a caption and, where it helps, the key that does the same."""

    caption = StringProperty("")
    natural = BooleanProperty(False)
    cap_width = NumericProperty(0)


class Filled(Press):
    """The one thing to do next on a screen."""


class Outlined(Press):
    """A choice or a second thing to do; ``chosen`` fills it."""

    chosen = BooleanProperty(False)


class Quiet(Press):
    """A thing to do that stays in the background, as wide as its words."""


class Stepper(BoxLayout):
    """A number with a button to lower it and one to raise it; ``stem`` begins their names in the trace.

    ``room``: the least width of what is shown, so that the buttons stay where they are.
    """

    caption = StringProperty("")
    shown = StringProperty("")
    stem = StringProperty("")
    low_hint = StringProperty("")
    high_hint = StringProperty("")
    room = NumericProperty(46)

    __events__ = ("on_step",)

    def on_step(self, by: int) -> None:
        """``by`` is -1 or 1."""


class Option(Focusable, BoxLayout):
    """One of several choices: a dot that is filled where it is chosen, and words."""

    caption = StringProperty("")
    chosen = BooleanProperty(False)

    def on_chosen(self, _option: Option, chosen: bool) -> None:
        self.shown_state = "chosen" if chosen else ""


class YesNo(Option):
    """Yes or no: a box with a tick where it is on."""


class Back(Focusable, Widget):
    """An arrow back to where one came from."""


class Hear(Focusable, BoxLayout):
    """Plays and stops a sound: a triangle while it is silent, a square while it sounds."""

    caption = StringProperty("Hear")
    playing = BooleanProperty(False)
    filled = BooleanProperty(False)

    def on_playing(self, _hear: Hear, playing: bool) -> None:
        self.shown_state = "playing" if playing else ""


class Tab(Press):
    """A screen's name in the bar of screens."""

    chosen = BooleanProperty(False)


class Boxes(Widget):
    """How far a session is: one box a question, the answered ones filled."""

    done = NumericProperty(0)
    of = NumericProperty(0)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._redraw = Clock.create_trigger(self._draw, -1)
        for name in ("done", "of", "pos", "size"):
            self.fbind(name, self._redraw)
        look.bind(ground=self._restyle, u=self._restyle)

    def _restyle(self, *_args: object) -> None:
        self._redraw()

    def _draw(self, *_args: object) -> None:
        self.canvas.clear()
        of = int(self.of)
        if of < 1:
            return
        u = look.u
        step = min(20 * u, self.width / of)
        wide, high = step * 0.66, 23 * u
        left = self.right - of * step + (step - wide)
        with self.canvas:
            Color(*look.action)
            for index in range(of):
                x, y = left + index * step, self.center_y - high / 2
                if index < self.done:
                    SmoothRoundedRectangle(pos=(x, y), size=(wide, high), radius=[3.5 * u])
                else:
                    SmoothLine(rounded_rectangle=(x + 1, y + 1, wide - 2, high - 2, 3 * u), width=1.1 * u)


class Heading(BoxLayout):
    """The head of a question: back, the drill's name, how far the session is."""

    title = StringProperty("")
    place = StringProperty("")
    done = NumericProperty(0)
    of = NumericProperty(0)


class Verdict(Widget):
    """A small mark for an answer, by its shape: a tick for right, a cross for wrong, a dot for Not sure."""

    right = BooleanProperty(False)
    unsure = BooleanProperty(False)


class Field(TextInput):
    """A line to write in."""

    reachable = True
    ident = StringProperty("")
    shown_state = StringProperty("")
    focused = BooleanProperty(False)
    asks_for = StringProperty("")
    asks_texture = ObjectProperty(None, allownone=True)

    def __init__(self, **kwargs: Any) -> None:
        # Kivy clips its own hint wrongly, and clears what children draw; so what is asked for is a picture.
        self._asks = Words(natural=True)
        self._asks.bind(texture=lambda _words, texture: setattr(self, "asks_texture", texture))
        super().__init__(**kwargs)
        look.bind(second=self._tint)
        self._tint()

    def _tint(self, *_args: object) -> None:
        self._asks.color = look.second

    def on_asks_for(self, _field: Field, words: str) -> None:
        self._asks.text = words

    def press(self) -> None:
        """Write here."""
        self.focus = True

    def on_focus(self, _field: Field, focus: bool) -> None:
        self.shown_state = "writing" if focus else ""

    def on_focused(self, _field: Field, focused: bool) -> None:
        if focused:
            self.focus = True

    @property
    def caption(self) -> str:
        return str(self.text)


class Scrolled(ScrollView):
    """A column that scrolls where it is too high; the bar shows only then."""


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
