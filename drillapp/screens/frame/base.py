"""What every screen has in common, and what a screen may ask of the app."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from kivy.lang import Builder
from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.screens.widgets import basic

if TYPE_CHECKING:
    from drillapp.desk.desk import TeachersDesk
    from drillapp.drills.tasks import Task
    from drillapp.practice.notice import Kind, Notice
    from drillapp.practice.practice import Practice
    from drillapp.screens.frame.memory import Tidy
    from drillapp.screens.frame.worker import Worker
    from drillapp.screens.sound.latencies import Latencies
    from drillapp.screens.sound.speaker import Speaker
    from drillapp.screens.widgets.focus import Focus

__all__ = ["App", "Screen", "basic", "load_kv"]


class App(Protocol):
    """What a screen may ask of the app.

    ``folder``: where the practice log is; ``own_decks``: the folder of the user's own decks; ``focus``:
    which control has the keyboard's focus; ``worker``: work away from the frame loop; ``tidy``: told of
    each question, to keep memory flat; ``desk``: the teacher's, over the same log; ``invented``: whether
    what is shown is.
    """

    practice: Practice
    speaker: Speaker
    latencies: Latencies
    worker: Worker
    tidy: Tidy
    focus: Focus
    folder: Path
    own_decks: Path
    desk: TeachersDesk
    invented: bool

    def go(self, name: str, **given: Any) -> None:
        """Show a screen, handing it what it is to show."""

    def over(self, name: str, **given: Any) -> None:
        """Show a screen over the present one, which keeps its state until ``uncover``."""

    def uncover(self) -> None:
        """Put away the screen that is shown over another, which is then told to ``resume``."""

    def build_ahead(self, name: str) -> None:
        """Build a screen that will be shown soon."""

    def screen_made(self, name: str) -> Screen | None:
        """A screen that was shown or built before; None where it was not."""

    def later(self, act: Callable[[], None]) -> None:
        """Do something once the present change of screen is done."""

    def tell(self, notice: Notice) -> None:
        """Show a sentence at the top of the window until it is put away or out of date."""

    def is_over(self, kind: Kind) -> None:
        """What notices of this kind told of is over: they go."""

    def open_practice(self) -> None:
        """Open the practice log and show the first screen, or say why it cannot be opened."""

    def reload_decks(self) -> None:
        """Read the decks' files again."""

    def stop(self) -> None:
        """Close the app."""

    def fit(self) -> None:
        """Take the window's size, and the size of text that is set."""


class Screen(BoxLayout):
    """One screen. The shell calls ``enter`` each time it is shown, ``leave`` when it goes.

    ``tab`` is the name under which the bar of screens marks it; empty hides the bar.
    """

    tab = StringProperty("")

    def __init__(self, app: App) -> None:
        self.app = app
        super().__init__()

    def enter(self, **given: Any) -> None:
        """Take what is to be shown."""

    def leave(self) -> None:
        """Put down what must not go on unseen."""

    def resume(self) -> None:
        """Go on where it was: what was shown over it has gone."""

    def set_ahead(self, task: Task[Any]) -> None:
        """Set the page of a coming question, to be shown later; may be called from another thread."""

    def acts(self) -> dict[str, Callable[[], object]]:
        """What each key does here."""
        return {}

    fills_slots = False
    """whether the signs of pattern text fill slots here"""

    def told_keys(self) -> tuple[str, ...]:
        """The keys that mean something here, as the list of keys tells them."""
        return tuple(self.acts())

    def keys_that_strum(self) -> str:
        """A sentence on the keys that strum here; empty where none does."""
        return ""

    def pause(self) -> None:
        """Stop what must not go on under a screen that is shown over this one."""

    def key(self, key: str, modifiers: list[str]) -> bool:
        """Act on a key that no control took; True where it meant something here."""
        act = self.acts().get(key)
        if act is None:
            return False
        act()
        return True

    def traced(self) -> dict[str, object]:
        """What the trace tells tests about this screen, beside its controls."""
        return {}

    def back(self) -> None:
        """Escape, or the device's back button."""
        self.app.go("today")


def load_kv(module_file: str) -> None:
    """Load the kv file that stands beside a screen's module."""
    Builder.load_file(str(Path(module_file).with_suffix(".kv")))
