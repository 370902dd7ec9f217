"""The look as Kivy properties: colours of the chosen theme, the unit of length, the window's orientation.

kv rules import the one ``look`` of the process and bind to it, so a change of theme or of the window's size
reaches every widget.
"""

from __future__ import annotations

import math

from kivy.core.text import Label as CoreLabel
from kivy.core.text import LabelBase
from kivy.event import EventDispatcher
from kivy.metrics import dp
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, OptionProperty

from drillapp.files.resources import shipped
from drillapp.screens.look.theme import SMALLEST_TARGET, THEMES, TYPE_SIZES

FONT = "Inter"


class Look(EventDispatcher):
    """Colours by role, ``u`` (pixels of one design unit), whether the window is ``portrait``, how ``wide``.

    ``hints``: they are wished for; ``keyed``: a key was used, so that they are of use; ``caps``: both.
    ``silent``: nothing can be heard, which the buttons that play a sound say."""

    theme = OptionProperty("paper", options=list(THEMES))
    ground = ColorProperty()
    page = ColorProperty()
    ink = ColorProperty()
    second = ColorProperty()
    action = ColorProperty()
    over_action = ColorProperty()
    mark = ColorProperty()
    rule = ColorProperty()

    text_size = NumericProperty(1.0)
    u = NumericProperty(1.0)
    target = NumericProperty(48.0)
    title = NumericProperty(34)
    heading = NumericProperty(24)
    body = NumericProperty(20)
    small = NumericProperty(17)
    portrait = BooleanProperty(False)
    wide = NumericProperty(1280)
    hints = BooleanProperty(True)
    keyed = BooleanProperty(False)
    caps = BooleanProperty(False)
    silent = BooleanProperty(False)
    by_keyboard = BooleanProperty(False)

    def __init__(self) -> None:
        super().__init__()
        self.on_theme(self, self.theme)

    def on_theme(self, _look: Look, theme: str) -> None:
        palette = THEMES[theme]
        for role in palette.roles:
            setattr(self, role, getattr(palette, role))

    def on_hints(self, _look: Look, _value: bool) -> None:
        self.caps = self.hints and self.keyed

    def on_keyed(self, _look: Look, _value: bool) -> None:
        self.caps = self.hints and self.keyed

    def fit(self, width: float, height: float) -> None:
        """Take the window's size in pixels: the unit follows the shorter side, within readable bounds."""
        shorter, longer = sorted((width / dp(1), height / dp(1)))
        scale = min(shorter / 800, longer / 1200)
        self.u = dp(1) * min(max(scale, 0.8), 1.6)
        self.target = max(dp(SMALLEST_TARGET), 56 * self.u)
        # The plain size first: what every text begins with must not come after what some of them are given.
        for name, size in sorted(TYPE_SIZES.items(), key=lambda one: one[0] != "body"):
            setattr(self, name, size * self.u * self.text_size)
        self.portrait, self.wide = height > width, width


LEAST = 0.55
"""the part of its size that words may keep where they have no room"""


def fitted(text: str, size: float, room: float, bold: bool = False) -> float:
    """The size, in pixels, at which a line of words is no wider than ``room``: ``size`` where it is not."""
    if not text or room <= 0:
        return size
    wide = CoreLabel(font_size=size, font_name=FONT, bold=bold).get_extents(text)[0]
    return size if wide <= room else max(math.floor(size * room / wide), LEAST * size)


def register_fonts() -> None:
    fonts = ("media", "fonts")
    LabelBase.register(
        FONT,
        fn_regular=str(shipped(*fonts, "Inter-Regular.otf")),
        fn_bold=str(shipped(*fonts, "Inter-SemiBold.otf")),
    )


look = Look()
