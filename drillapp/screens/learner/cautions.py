"""Short cautions, shown once before the first drill and kept in Settings."""

from __future__ import annotations

from collections.abc import Callable

from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import care

__all__ = ["Cautions", "care"]


class Cautions(Screen):
    """Before the first drill."""

    def go_on(self) -> None:
        self.app.practice.change("cautions_read", True)
        self.app.go("first" if self.app.practice.is_new() else "today")

    def acts(self) -> dict[str, Callable[[], object]]:
        return {"enter": self.go_on}

    def back(self) -> None:
        """Nothing is behind it."""


load_kv(__file__)
