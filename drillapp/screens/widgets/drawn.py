"""Widgets that draw themselves."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.clock import Clock
from kivy.graphics import InstructionGroup
from kivy.uix.widget import Widget

from drillapp.screens.look.look import look

Add = Callable[[Any], None]
"""Puts one of Kivy's drawing instructions on the canvas."""


class Drawn(Widget):
    """A widget that draws itself again when its place, its theme or what it shows changes."""

    watched: tuple[str, ...] = ()

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._group = InstructionGroup()
        self.canvas.add(self._group)
        self._redraw = Clock.create_trigger(self._again, -1)
        for name in ("pos", "size", *self.watched):
            self.fbind(name, self._redraw)
        look.bind(ground=self._restyle, u=self._restyle)

    def _restyle(self, *_args: object) -> None:
        self._redraw()

    def _again(self, *_args: object) -> None:
        self._group.clear()
        if self.width > 2 and self.height > 2:
            self.draw(self._group.add)

    def draw(self, add: Add) -> None:
        raise NotImplementedError
