"""Short cautions for ears and hands."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from kivy.lang import Builder
from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "Keep the sound moderate.",
        "Begin softly, above all with headphones, and turn it down when ears ring or feel dull.",
    ),
    (
        "Rest the hands.",
        "A few minutes a day are enough. Shake the hands out between drills; let the shoulders hang loose.",
    ),
    (
        "Stop when it hurts.",
        "Pain, numbness or tingling is a sign to stop. If it stays or comes back, see a doctor or another "
        "qualified person.",
    ),
)


class Caution(BoxLayout):
    """One caution: what to do, and why or how."""

    head = StringProperty("")
    words = StringProperty("")


class CautionList(BoxLayout):
    """All cautions, one under another."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for head, words in CAUTIONS:
            self.add_widget(Caution(head=head, words=words))


Builder.load_file(str(Path(__file__).with_suffix(".kv")))
