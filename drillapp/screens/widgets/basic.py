"""What every screen is made of: text, buttons, cards, keycaps, small marks."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.graphics import Color, SmoothLine, SmoothRoundedRectangle
from kivy.lang import Builder
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.label import Label
from kivy.uix.scrollview import ScrollView
from kivy.uix.textinput import TextInput
from kivy.uix.widget import Widget

from drillapp.screens.look.look import look
from drillapp.screens.widgets.drawn import Add, Drawn
from drillapp.screens.widgets.focus import Choosable, Focusable
from drillapp.words.language import _


class Words(Label):
    """Text that wraps in its width and is as high as it needs to be; ``natural`` text keeps to one line."""

    natural = BooleanProperty(False)


class Card(BoxLayout):
    """A sheet of page colour with a hairline round it."""


class Keycap(Label):
    """The name of a key, drawn as a key; shown only where hints are."""


class Press(Focusable, Label):
    """A button with a caption and, where it helps, the key that does the same.

    Its caption has the size ``wanted`` where that is given, and is set smaller where it would not fit;
    ``natural``: the button is as wide as its caption, or ``bound`` to a width all the same.
    """

    caption = StringProperty("")
    wanted = NumericProperty(0)
    large = BooleanProperty(False)
    bound = BooleanProperty(False)
    natural = BooleanProperty(False)
    cap_width = NumericProperty(0)


class Filled(Press):
    """The one thing to do next on a screen."""

    large = BooleanProperty(True)


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
    room = NumericProperty(46)

    __events__ = ("on_step",)

    def on_step(self, by: int) -> None:
        """``by`` is -1 or 1."""


class VolumeStepper(Stepper):
    """The volume in percent; ``on_step`` makes it softer or louder, as Page Down and Page Up do."""


class Option(Choosable, BoxLayout):
    """One of several choices: a dot that is filled where it is chosen, and words."""

    caption = StringProperty("")


class YesNo(Option):
    """Yes or no: a box with a tick where it is on."""


class Back(Focusable, Widget):
    """An arrow back to where one came from."""


class Hear(Focusable, BoxLayout):
    """Plays and stops a sound: a triangle while it is silent, a square while it sounds.

    ``most``: the width that it may have, in pixels, where it has a limit.
    """

    most = NumericProperty(0)

    caption = StringProperty("")
    playing = BooleanProperty(False)
    filled = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"caption": _("Hear"), **kwargs})

    def on_playing(self, _hear: Hear, playing: bool) -> None:
        self.shown_state = "playing" if playing else ""


class Tab(Press):
    """A screen's name in the bar of screens."""

    chosen = BooleanProperty(False)


class Boxes(Drawn):
    """How far a session is: one box a question, the answered ones filled."""

    done = NumericProperty(0)
    of = NumericProperty(0)
    watched = ("done", "of")

    def draw(self, add: Add) -> None:
        of = int(self.of)
        if of < 1:
            return
        u = look.u
        step = min(20 * u, self.width / of)
        wide, high = step * 0.66, 23 * u
        left = self.right - of * step + (step - wide)
        add(Color(*look.action))
        for index in range(of):
            x, y = left + index * step, self.center_y - high / 2
            if index < self.done:
                add(SmoothRoundedRectangle(pos=(x, y), size=(wide, high), radius=[3.5 * u]))
            else:
                add(SmoothLine(rounded_rectangle=(x + 1, y + 1, wide - 2, high - 2, 3 * u), width=1.1 * u))


class Heading(BoxLayout):
    """The head of a question: back, the drill's name, the volume, how far the session is.

    ``on_turn`` asks for a step softer (-1) or louder (1).
    """

    title = StringProperty("")
    place = StringProperty("")
    volume = StringProperty("")
    done = NumericProperty(0)
    of = NumericProperty(0)

    __events__ = ("on_back", "on_turn")

    def on_back(self) -> None: ...
    def on_turn(self, by: int) -> None: ...


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
