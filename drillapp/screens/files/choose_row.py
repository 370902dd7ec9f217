"""Choosing one row of a list over the screen that asks for it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kivy.properties import StringProperty

from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import head, row_list

__all__ = ["ChooseRow", "head", "row_list"]


class ChooseRow(Screen):
    """Hands ``then`` the number of the row once one is chosen."""

    title = StringProperty("")
    about = StringProperty("")

    def enter(
        self,
        title: str = "",
        about: str = "",
        rows: Sequence[tuple[str, str]] = (),
        chosen: int = -1,
        then: Callable[[int], None] = lambda index: None,
        **_given: Any,
    ) -> None:
        """``rows``: the caption and the note of each."""
        self.title, self.about, self._then = title, about, then
        self.ids.rows.scroll_y = 1
        named = ((caption, note, f"row-{number}") for number, (caption, note) in enumerate(rows))
        self.ids.rows.fill(named, chosen)

    def choose(self, index: int) -> None:
        self.app.uncover()
        self._then(index)

    def back(self) -> None:
        self.app.uncover()


load_kv(__file__)
