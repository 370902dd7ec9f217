"""The list of keys: those of the screen that one is on, and those of every screen."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.look.look import look
from drillapp.words.keys import general_keys, keys_said


class KeyRow(BoxLayout):
    """A key and what it does."""

    caption = StringProperty("")
    says = StringProperty("")


class KeyList(Screen):
    """Shown over the screen ``about``, which goes on afterwards."""

    strums = StringProperty("")

    def enter(self, about: Screen | None = None, **_given: Any) -> None:
        assert about is not None
        self.strums = about.keys_that_strum()
        self._here = keys_said(about.told_keys(), about.fills_slots)
        _fill(self.ids.here, self._here)
        _fill(self.ids.general, general_keys())
        self.ids.scroll.scroll_y = 1
        self.arrange()

    def arrange(self) -> None:
        self.ids.columns.cols = 1 if look.portrait or look.text_size > 1.4 else 2

    def acts(self) -> dict[str, Callable[[], object]]:
        return {"enter": self.back}

    def traced(self) -> dict[str, object]:
        return {"keys": dict(self._here)}

    def back(self) -> None:
        self.app.uncover()

    _here: list[tuple[str, str]] = []  # noqa: RUF012  (replaced, never changed)


def _fill(box: BoxLayout, lines: Iterable[tuple[str, str]]) -> None:
    box.clear_widgets()
    for caption, says in lines:
        box.add_widget(KeyRow(caption=caption, says=says))


load_kv(__file__)
