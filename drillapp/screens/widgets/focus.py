"""Keyboard focus: what can be pressed can be reached with Tab and the arrow keys, and shows that it is.

The ring is drawn only while the keyboard is in use (``look.by_keyboard``); a touch hides it again.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget


class Focusable(ButtonBehavior):
    """A control: it can be pressed by touch, mouse or key; ``ident`` names it in the trace."""

    reachable = True
    focused = BooleanProperty(False)
    ident = StringProperty("")
    hint = StringProperty("")
    shown_state = StringProperty("")

    def press(self) -> None:
        """Do what a tap does."""
        self.dispatch("on_press")
        self.dispatch("on_release")


class Choosable(Focusable):
    """A control that says whether it is chosen."""

    chosen = BooleanProperty(False)

    def on_chosen(self, _control: Choosable, chosen: bool) -> None:
        self.shown_state = "chosen" if chosen else ""


class Focus:
    """Which control of the shown screen has the keyboard's focus."""

    def __init__(self, root: Callable[[], Widget]) -> None:
        self._root = root
        self.widget: Any = None

    def controls(self) -> list[Any]:
        """The controls of what is shown, in reading order, scrolled-away ones too."""
        return [widget for widget in _shown(self._root()) if getattr(widget, "reachable", False)]

    def clear(self) -> None:
        self.put(None)

    def put(self, widget: Any) -> None:
        if self.widget is not None:
            self.widget.focused = False
        self.widget = widget
        if widget is not None:
            widget.focused = True
            _scroll_to(widget)

    def current(self) -> Any:
        """The control in focus, while it is still on screen and enabled."""
        if self.widget is not None and self.widget not in self.controls():
            self.clear()
        return self.widget

    def step(self, by: int) -> None:
        """On to the next control (1) or back to the one before (-1), round the ends."""
        controls = self.controls()
        if not controls:
            return
        current = self.current()
        if current is None:
            self.put(controls[0 if by > 0 else -1])
        else:
            self.put(controls[(controls.index(current) + by) % len(controls)])

    def towards(self, x: int, y: int) -> None:
        """On to the nearest control in a direction: x is 1 to the right, y is 1 upwards."""
        current = self.current()
        if current is None:
            self.step(1)
            return
        here = _centre(current)
        best, least = None, float("inf")
        for other in self.controls():
            if other is current:
                continue
            dx, dy = (a - b for a, b in zip(_centre(other), here, strict=True))
            along, across = (dx * x + dy * y), abs(dx * y) + abs(dy * x)
            if along > 4 and along + 2.5 * across < least:
                best, least = other, along + 2.5 * across
        if best is not None:
            self.put(best)


def _centre(widget: Widget) -> tuple[float, float]:
    x, y = widget.to_window(widget.center_x, widget.center_y)
    return x, y


def _shown(root: Widget) -> list[Widget]:
    """Enabled, opaque widgets in reading order, also those that are scrolled out of sight."""
    found: list[Widget] = []

    def walk(widget: Widget) -> None:
        if widget.disabled or widget.opacity == 0:
            return
        found.append(widget)
        for child in reversed(widget.children):
            walk(child)

    walk(root)
    return found


def _scroll_to(widget: Widget) -> None:
    parent = widget.parent
    while parent is not None and parent is not parent.parent:
        if isinstance(parent, ScrollView):
            parent.scroll_to(widget, padding=24, animate=False)
            return
        parent = parent.parent
