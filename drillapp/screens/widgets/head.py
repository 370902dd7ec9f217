"""The head of a screen that one came to from another: an arrow back, a title, what can be done beside."""

from __future__ import annotations

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.screens.widgets import basic

__all__ = ["Head", "basic"]


class Head(BoxLayout):
    """Back and a title; whatever is put into it stands to the right."""

    title = StringProperty("")

    __events__ = ("on_back",)

    def on_back(self) -> None: ...


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
