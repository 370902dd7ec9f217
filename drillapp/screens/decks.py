"""Decks: browse the decks, see and hear any pattern, drill one of them; the faults of deck files."""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.recycleview.views import RecycleDataViewBehavior

from drillapp.screens.base import Screen, load_kv
from drillapp.screens.drilling import FASTEST, SLOWEST, TEMPO_STEP
from drillapp.screens.sounds import Sound
from drillapp.screens.widgets import page  # its rules are built on in decks.kv
from drillapp.screens.widgets.focus import Focusable

__all__ = ["Decks", "page"]

PREVIEW = "preview"


class ListRow(Focusable, RecycleDataViewBehavior, BoxLayout):
    """A deck or a pattern in its list; ``chosen`` is the one that is shown."""

    caption = StringProperty("")
    note = StringProperty("")
    chosen = BooleanProperty(False)
    index = NumericProperty(0)
    which = StringProperty("")

    def refresh_view_attrs(self, view: Any, index: int, data: dict[str, Any]) -> None:
        self.index = index
        super().refresh_view_attrs(view, index, data)

    def on_chosen(self, _row: ListRow, chosen: bool) -> None:
        self.shown_state = "chosen" if chosen else ""

    def on_release(self) -> None:
        from kivy.app import App

        screen = App.get_running_app().root.screen
        (screen.choose_deck if self.which == "deck" else screen.choose_pattern)(self.index)


class Decks(Screen):
    """The shelf of decks."""

    deck = NumericProperty(0)
    pattern = NumericProperty(0)
    title = StringProperty("")
    deck_title = StringProperty("")
    advice = StringProperty("")
    tempo = NumericProperty(90)
    playing = StringProperty("")
    faults = ListProperty([])
    fault_words = StringProperty("")
    shown = ObjectProperty(None, allownone=True)
    repeat = BooleanProperty(False)

    def enter(self, **_given: object) -> None:
        practice = self.app.practice
        self._decks = practice.decks
        self.ids.page.names = practice.setting("counts")
        self.faults = list(practice.faults)
        self.fault_words = "\n".join(_fault(fault) for fault in practice.faults)
        self.app.speaker.bind(playing=self._on_playing)
        if self._decks:
            self.choose_deck(min(int(self.deck), len(self._decks) - 1), int(self.pattern))
        else:
            self.shown = None
            self.ids.decks.data, self.ids.patterns.data = [], []

    def leave(self) -> None:
        self.app.speaker.unbind(playing=self._on_playing)
        self.app.speaker.stop()

    def choose_deck(self, index: int, pattern: int = 0) -> None:
        self.deck = index
        deck = self._decks[index]
        self.deck_title = deck.title
        self.ids.decks.data = [
            {
                "caption": other.title,
                "note": str(len(other.patterns)),
                "chosen": number == index,
                "which": "deck",
                "ident": f"deck-{other.name}",
            }
            for number, other in enumerate(self._decks)
        ]
        self.choose_pattern(min(pattern, len(deck.patterns) - 1))

    def choose_pattern(self, index: int) -> None:
        self.app.speaker.stop()
        self.pattern = index
        deck = self._decks[self.deck]
        self.shown = deck.patterns[index]
        self.title = self.shown.title
        self.tempo = self.shown.pattern.tempo
        self.advice = self.shown.advice or deck.advice
        self.ids.page.show(self.shown.pattern, self.app.practice.setting("layers"))
        self.ids.patterns.data = [
            {
                "caption": other.title,
                "note": _meter(other.pattern),
                "chosen": number == index,
                "which": "pattern",
                "ident": f"pattern-{number}",
            }
            for number, other in enumerate(deck.patterns)
        ]

    def hear(self) -> None:
        if self.shown is None:
            return
        setting = self.app.practice.setting
        count_in = int(setting("count_in"))
        pattern = self.shown.pattern
        sound = Sound(pattern, self.tempo, setting("chord"), setting("voice"), count_in, self.repeat)
        self.app.speaker.toggle(PREVIEW, sound)

    def change_tempo(self, by: int) -> None:
        self.app.speaker.stop()
        self.tempo = min(max(self.tempo + by * TEMPO_STEP, SLOWEST), FASTEST)

    def change_repeat(self) -> None:
        self.app.speaker.stop()
        self.repeat = not self.repeat

    def drill_deck(self) -> None:
        if self._decks:
            self.app.drill(self.app.practice.start(deck=self._decks[self.deck].name))

    def key(self, key: str, modifiers: list[str]) -> bool:
        if key == "space":
            self.hear()
        elif key in ("-", "+", "="):
            self.change_tempo(-1 if key == "-" else 1)
        elif key == "r":
            self.change_repeat()
        elif key in ("up", "down") and self._decks and self.app.focus.current() is None:
            last = len(self._decks[self.deck].patterns) - 1
            self.choose_pattern(min(max(int(self.pattern) + (1 if key == "down" else -1), 0), last))
            self._scroll_to_pattern()
        elif key in ("left", "right") and self._decks and self.app.focus.current() is None:
            step = 1 if key == "right" else -1
            self.choose_deck(min(max(int(self.deck) + step, 0), len(self._decks) - 1))
        else:
            return False
        return True

    def _scroll_to_pattern(self) -> None:
        view = self.ids.patterns
        beyond = view.children[0].height - view.height
        if beyond > 0:
            share = self.pattern / max(1, len(view.data) - 1)
            view.scroll_y = 1 - share

    def _on_playing(self, _speaker: object, playing: str) -> None:
        self.playing = playing


def _meter(pattern: Any) -> str:
    bars = len(pattern.bars)
    return pattern.meter.text + (f", {bars} bars" if bars > 1 else "")


def _fault(fault: Any) -> str:
    return f"{fault.file}:{fault.line}:{fault.column}: {fault.message}"


load_kv(__file__)
