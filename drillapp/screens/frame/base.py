"""What every screen has in common."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from kivy.lang import Builder
from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.screens.widgets import basic

if TYPE_CHECKING:
    from drillapp.screens.frame.shell import DrillApp

__all__ = ["Screen", "basic", "load_kv"]


class Screen(BoxLayout):
    """One screen. The shell calls ``enter`` each time it is shown, ``leave`` when it goes.

    ``tab`` is the name under which the bar of screens marks it; empty hides the bar.
    """

    tab = StringProperty("")

    def __init__(self, app: DrillApp) -> None:
        self.app = app
        super().__init__()

    def enter(self, **given: object) -> None:
        """Take what is to be shown."""

    def leave(self) -> None:
        """Put down what must not go on unseen."""

    def key(self, key: str, modifiers: list[str]) -> bool:
        """Act on a key that no control took; True where it meant something here."""
        return False

    def traced(self) -> dict[str, object]:
        """What the trace tells tests about this screen, beside its controls."""
        return {}

    def back(self) -> None:
        """Escape, or the device's back button."""
        self.app.go("today")


def load_kv(module_file: str) -> None:
    """Load the kv file that stands beside a screen's module."""
    Builder.load_file(str(Path(module_file).with_suffix(".kv")))
