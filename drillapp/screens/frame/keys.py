"""Keys: Tab and arrows move the focus, Enter and Space press, Escape goes back, ? lists the keys.

Alt and a number show a screen of the bar; the rest is the screen's.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from kivy.core.window import Window
from kivy.uix.widget import Widget

from drillapp.screens.frame.base import Screen
from drillapp.screens.look.look import look
from drillapp.screens.widgets.basic import Field
from drillapp.screens.widgets.focus import Focus
from drillapp.screens.widgets.strum_keys import KEY_NAMES

KEY_LIST = "keys"
F1 = 282
HELP_KEYS = ("?", "f1")
_ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, 1), "down": (0, -1)}


class Keys:
    """Takes the window's keys and hands them to the control in ``focus`` or to the ``screen`` that shows.

    ``widgets``: all that the window holds; ``general``: does what keys mean on every screen.
    """

    def __init__(
        self,
        focus: Focus,
        screen: Callable[[], Screen],
        widgets: Callable[[], Iterable[Widget]],
        general: Callable[..., None],
    ) -> None:
        self._focus, self._screen, self._widgets, self._general = focus, screen, widgets, general
        Window.bind(on_key_down=self._down, on_touch_down=self._touch)

    def _touch(self, _window: object, _touch: object) -> None:
        look.by_keyboard = False
        if self._focus.widget is not None:
            self._focus.clear()

    def _down(self, _window: object, code: int, _scan: int, text: str | None, modifiers: list[str]) -> bool:
        name = (
            KEY_NAMES.get(code)
            or ("f1" if code == F1 else "")
            or (text or "").lower()
            or (chr(code) if 33 <= code < 127 else "")
        )
        field = self._field()
        if field is not None:
            if name == "tab":
                field.focus = False
                look.by_keyboard = look.keyed = True
                self._focus.step(-1 if "shift" in modifiers else 1)
                return True
            if name == "escape":
                field.focus = False
                return True
            return False
        if "alt" in modifiers and name in "123456789":
            look.by_keyboard = look.keyed = True
            self._general("bar", int(name))
            return True
        if {"ctrl", "alt", "meta"} & set(modifiers):
            return False
        taken = self._key(name, modifiers)
        if taken:
            look.by_keyboard = look.keyed = True
        return taken or name in ("tab", "escape")

    def _key(self, name: str, modifiers: list[str]) -> bool:
        focus, screen = self._focus, self._screen()
        if name == "tab":
            focus.step(-1 if "shift" in modifiers else 1)
        elif name in ("enter", "space") and focus.current() is not None:
            focus.current().press()
        elif name == "escape":
            screen.back()
        elif name in HELP_KEYS or (name == "/" and "shift" in modifiers):
            self._general(KEY_LIST)
        elif screen.key(name, modifiers):
            pass
        elif name in _ARROWS:
            focus.towards(*_ARROWS[name])
        else:
            return False
        return True

    def _field(self) -> Field | None:
        for widget in self._widgets():
            if isinstance(widget, Field) and widget.focus:
                return widget
        return None
