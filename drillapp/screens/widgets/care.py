"""Short cautions for ears and hands."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.words.care import cautions


class Caution(BoxLayout):
    """One caution: what to do, and why or how."""

    head = StringProperty("")
    words = StringProperty("")


class CautionList(BoxLayout):
    """All cautions, one under another."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for head, words in cautions():
            self.add_widget(Caution(head=head, words=words))


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
