"""Keys: Tab and arrows move the focus, Enter and Space press, Escape goes back, the rest is the screen's."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from kivy.core.window import Window
from kivy.uix.widget import Widget

from drillapp.screens.frame.base import Screen
from drillapp.screens.look.look import look
from drillapp.screens.widgets.basic import Field
from drillapp.screens.widgets.focus import Focus
from drillapp.screens.widgets.strum_keys import KEY_NAMES

_ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, 1), "down": (0, -1)}


class Keys:
    """Takes the window's keys and hands them to the control in ``focus`` or to the ``screen`` that shows.

    ``widgets``: all that the window holds.
    """

    def __init__(
        self, focus: Focus, screen: Callable[[], Screen], widgets: Callable[[], Iterable[Widget]]
    ) -> None:
        self._focus, self._screen, self._widgets = focus, screen, widgets
        Window.bind(on_key_down=self._down, on_touch_down=self._touch)

    def _touch(self, _window: object, _touch: object) -> None:
        look.by_keyboard = False
        if self._focus.widget is not None:
            self._focus.clear()

    def _down(self, _window: object, code: int, _scan: int, text: str | None, modifiers: list[str]) -> bool:
        name = KEY_NAMES.get(code) or (text or "").lower() or (chr(code) if 33 <= code < 127 else "")
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
