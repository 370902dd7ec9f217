"""A list of rows, each a caption and a note, of which one is chosen; only those in sight are made."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.properties import NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.recycleview import RecycleView
from kivy.uix.recycleview.views import RecycleDataViewBehavior

from drillapp.screens.widgets import basic
from drillapp.screens.widgets.focus import Choosable

__all__ = ["ListRow", "RowList", "basic"]


class ListRow(Choosable, RecycleDataViewBehavior, BoxLayout):
    """One row; ``chosen`` is the one that is shown."""

    caption = StringProperty("")
    note = StringProperty("")
    index = NumericProperty(0)

    def refresh_view_attrs(self, view: RowList, index: int, data: dict[str, Any]) -> None:
        self.index = index
        super().refresh_view_attrs(view, index, data)

    def on_release(self) -> None:
        self.parent.recycleview.dispatch("on_choose", int(self.index))


class RowList(RecycleView):
    """The list; ``on_choose`` gives the number of the row that was pressed."""

    __events__ = ("on_choose",)

    def on_choose(self, index: int) -> None:
        """``index`` counts the rows from the top, from 0."""

    def fill(self, rows: Iterable[tuple[str, str, str]], chosen: int) -> None:
        """Show these rows: the caption, the note and the name in the trace of each; -1: none is chosen."""
        self.data = [
            {"caption": caption, "note": note, "chosen": number == chosen, "ident": ident}
            for number, (caption, note, ident) in enumerate(rows)
        ]

    def scroll_to_row(self, index: int) -> None:
        """Scroll so that the row's place in view is its place in the list."""
        if self.children[0].height > self.height:
            self.scroll_y = 1 - index / max(1, len(self.data) - 1)


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
