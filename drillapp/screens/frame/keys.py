"""Keys: Tab and arrows move the focus, Enter and Space press, Escape goes back, the rest is the screen's."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kivy.core.window import Window

from drillapp.screens.look.look import look
from drillapp.screens.questions.strum_keys import KEY_NAMES
from drillapp.screens.widgets.basic import Field

if TYPE_CHECKING:
    from drillapp.screens.frame.shell import DrillApp

_ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, 1), "down": (0, -1)}


class Keys:
    """Takes the window's keys and hands them to the control in focus or to the screen."""

    def __init__(self, app: DrillApp) -> None:
        self._app = app
        Window.bind(on_key_down=self._down, on_touch_down=self._touch)

    def _touch(self, _window: object, _touch: object) -> None:
        look.by_keyboard = False
        if self._app.focus.widget is not None:
            self._app.focus.clear()

    def _down(self, _window: object, code: int, _scan: int, text: str | None, modifiers: list[str]) -> bool:
        name = KEY_NAMES.get(code) or (text or "").lower() or (chr(code) if 33 <= code < 127 else "")
        field = self._field()
        if field is not None:
            if name == "tab":
                field.focus = False
                look.by_keyboard = True
                self._app.focus.step(-1 if "shift" in modifiers else 1)
                return True
            if name == "escape":
                field.focus = False
                return True
            return False
        if {"ctrl", "alt", "meta"} & set(modifiers):
            return False
        taken = self._key(name, modifiers)
        if taken:
            look.by_keyboard = True
        return taken or name in ("tab", "escape")

    def _key(self, name: str, modifiers: list[str]) -> bool:
        app = self._app
        focus = app.focus
        if name == "tab":
            focus.step(-1 if "shift" in modifiers else 1)
        elif name in ("enter", "space") and focus.current() is not None:
            focus.current().press()
        elif name == "escape":
            app.root.screen.back()
        elif app.root.screen.key(name, modifiers):
            pass
        elif name in _ARROWS:
            focus.towards(*_ARROWS[name])
        else:
            return False
        return True

    def _field(self) -> Field | None:
        for widget in self._app.root.walk():
            if isinstance(widget, Field) and widget.focus:
                return widget
        return None
