"""Shown in place of everything else where the practice log cannot be used: what is wrong, what to do."""

from __future__ import annotations

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

    def key(self, key: str, modifiers: list[str]) -> bool:
        if key == "enter":
            self.try_again()
        return key == "enter"

    def traced(self) -> dict[str, object]:
        return {"message": self.message}

    def back(self) -> None:
        """Nothing is behind it."""


load_kv(__file__)
