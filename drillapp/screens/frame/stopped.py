"""Shown in place of everything else where the practice log cannot be used: what is wrong, what to do."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import StringProperty

from drillapp.screens.frame.base import Screen, load_kv


class Stopped(Screen):
    """The practice log cannot be opened."""

    message = StringProperty("")

    def enter(self, message: str = "", **_given: Any) -> None:
        self.message = message

    def try_again(self) -> None:
        self.app.open_practice()

    def acts(self) -> dict[str, Callable[[], object]]:
        return {"enter": self.try_again}

    def traced(self) -> dict[str, object]:
        return {"message": self.message}

    def back(self) -> None:
        """Nothing is behind it."""


load_kv(__file__)
