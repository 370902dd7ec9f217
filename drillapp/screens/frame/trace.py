"""A trace for tests of the real window: which screen shows, where its controls are, what they say.

Every change appends one JSON line: ``screen``, ``size`` (pixels), ``notices`` and ``controls``, a mapping
from a control's name to ``box`` (left, top, right, bottom in pixels from the window's upper left corner),
``text`` and ``state``. Controls that are scrolled out of sight or disabled are left out.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

EVERY = 0.03
"""seconds between two looks at the screen"""


class Trace:
    """Appends what is on screen to a file each time that it changes."""

    def __init__(
        self, path: Path, describe: Callable[[], dict[str, Any]], root: Callable[[], Widget]
    ) -> None:
        self._file = path.open("a", encoding="utf-8")
        self._describe = describe
        self._root = root
        self._last = self._before = ""
        Clock.schedule_interval(self._look, EVERY)

    def _look(self, _dt: float) -> None:
        seen = {**self._describe(), "size": list(Window.size), "controls": dict(controls(self._root()))}
        line = json.dumps(seen)
        # Written once it has stayed for a frame: what is being laid out has no place yet.
        if line == self._before and line != self._last:
            self._last = line
            self._file.write(line + "\n")
            self._file.flush()
        self._before = line


def controls(root: Widget) -> Iterator[tuple[str, dict[str, Any]]]:
    """Name and description of every named control in sight."""
    for widget in in_sight(root):
        if getattr(widget, "ident", ""):
            left, bottom = widget.to_window(widget.x, widget.y)
            top, height = Window.height - bottom - widget.height, Window.height
            yield (
                widget.ident,
                {
                    "box": [round(left), round(top), round(left + widget.width), round(height - bottom)],
                    "text": getattr(widget, "caption", "") or getattr(widget, "text", ""),
                    "state": getattr(widget, "shown_state", ""),
                },
            )


def in_sight(widget: Widget) -> Iterator[Widget]:
    """The widgets of a tree, in reading order, that are enabled, opaque and not scrolled away."""
    yield from _in_sight(widget, None)


def _in_sight(widget: Widget, view: tuple[float, float] | None) -> Iterator[Widget]:
    if widget.disabled or widget.opacity == 0 or (widget.height < 1 and not widget.children):
        return
    if view is not None:
        bottom = widget.to_window(widget.x, widget.y)[1]
        if bottom + widget.height < view[0] + 1 or bottom > view[1] - 1:
            return
    yield widget
    if isinstance(widget, ScrollView):
        bottom = widget.to_window(widget.x, widget.y)[1]
        view = (bottom, bottom + widget.height)
    for child in reversed(widget.children):
        yield from _in_sight(child, view)
