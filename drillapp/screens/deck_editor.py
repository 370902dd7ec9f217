"""The deck editor: patterns typed as text, shown and heard as one types, saved in the user's folder."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty, StringProperty

from drillapp.deck_folder import DeckFileError, drop_draft, remove_deck, save_deck, save_draft
from drillapp.screens import decks  # its rules are built on in deck_editor.kv
from drillapp.screens.base import Screen, load_kv
from drillapp.screens.deck_draft import Draft
from drillapp.screens.drilling import FASTEST, SLOWEST, TEMPO_STEP
from drillapp.screens.sounds import Sound

__all__ = ["DeckEditor", "decks"]

PREVIEW = "preview"
KEEP_AFTER = 0.8
"""seconds without typing after which the draft is kept on disk"""


class DeckEditor(Screen):
    """One deck of the user's own."""

    fault = StringProperty("")
    deck_fault = StringProperty("")
    tempo = NumericProperty(80)
    playing = StringProperty("")
    saved = BooleanProperty(True)
    can_undo = BooleanProperty(False)
    is_new = BooleanProperty(True)

    _filling = False

    def enter(self, draft: Draft | None = None, **_given: object) -> None:
        assert draft is not None
        self._draft, self._past, self._future_keep = draft, [], None
        self.is_new = not Path(draft.deck.source).exists()
        self.saved = not self.is_new
        self.ids.page.names = self.app.practice.setting("counts")
        self.app.speaker.bind(playing=self._on_playing)
        self._show()

    def leave(self) -> None:
        self._keep()
        self.app.speaker.unbind(playing=self._on_playing)
        self.app.speaker.stop()

    def back(self) -> None:
        self.app.go("decks")

    def typed(self) -> None:
        """Take what was typed into the fields."""
        if self._filling:
            return
        ids = self.ids
        draft = self._draft.typed(ids.name.text, ids.text.text, ids.meter.text)
        if ids.title.text != draft.title:
            draft = replace(draft, title=ids.title.text)
        self._take(draft, refill=False)

    def choose_pattern(self, index: int) -> None:
        self.app.speaker.stop()
        self._draft = replace(self._draft, at=index)
        self._show()

    def add(self) -> None:
        self._take(self._draft.added())

    def double(self) -> None:
        self._take(self._draft.doubled())

    def delete(self) -> None:
        self._take(self._draft.deleted())

    def move(self, by: int) -> None:
        self._take(self._draft.moved(by))

    def undo(self) -> None:
        if self._past:
            self._draft = self._past.pop()
            self.saved = False
            self._show()

    def change_tempo(self, by: int) -> None:
        tempo = min(max(self._draft.line.read.pattern.tempo + by * TEMPO_STEP, SLOWEST), FASTEST)
        self._take(self._draft.at_tempo(tempo))

    def hear(self) -> None:
        setting = self.app.practice.setting
        pattern = self._draft.line.read.pattern
        sound = Sound(pattern, pattern.tempo, setting("chord"), setting("voice"), int(setting("count_in")))
        self.app.speaker.toggle(PREVIEW, sound)

    def save(self) -> None:
        """Write the deck to its file, and practise from it."""
        if self._draft.fault:
            self.deck_fault = self._draft.fault
            return
        deck = self._draft.as_deck()
        try:
            save_deck(deck, Path(deck.source))
        except DeckFileError as error:
            self.deck_fault = str(error)
            return
        drop_draft(deck.name, self.app.own_decks)
        self.saved, self.is_new = True, False
        self.app.reload_decks()
        self.app.go("decks", deck=deck.name)

    def take_out(self) -> None:
        """Take the deck's file out of the folder; a notice in Decks offers to put it back."""
        deck = self._draft.deck
        self._past.clear()
        self.saved = True
        drop_draft(deck.name, self.app.own_decks)
        removed = None
        if not self.is_new:
            try:
                removed = remove_deck(Path(deck.source))
            except DeckFileError as error:
                self.deck_fault = str(error)
                return
            self.app.reload_decks()
        self.app.go("decks", removed=removed)

    def traced(self) -> dict[str, object]:
        return {"fault": self.fault, "saved": self.saved, "patterns": len(self._draft.lines)}

    def _take(self, draft: Draft, refill: bool = True) -> None:
        if draft == self._draft:
            return
        self.app.speaker.stop()
        self._past.append(self._draft)
        del self._past[:-200]
        self._draft = draft
        self.saved = False
        self._show(refill)
        if self._future_keep is not None:
            self._future_keep.cancel()
        self._future_keep = Clock.schedule_once(lambda _dt: self._keep(), KEEP_AFTER)

    def _keep(self) -> None:
        """Keep the draft, so that a crash does not lose it."""
        if self.saved or not self._past:
            return
        try:
            save_draft(self._draft.as_deck(), self.app.own_decks)
        except (DeckFileError, ValueError) as error:
            self.deck_fault = str(error)

    def _show(self, refill: bool = True) -> None:
        draft, line = self._draft, self._draft.line
        if refill:
            self._filling = True
            self.ids.title.text, self.ids.name.text = draft.title, line.title
            self.ids.text.text, self.ids.meter.text = line.text, line.meter
            self._filling = False
        self.fault, self.deck_fault = line.fault, ""
        self.can_undo = bool(self._past)
        self.tempo = line.read.pattern.tempo
        self.ids.page.show(line.read.pattern, self.app.practice.setting("layers"))
        self.ids.patterns.data = [
            {
                "caption": one.title or "(no title)",
                "note": "fault" if one.fault else one.meter,
                "chosen": number == draft.at,
                "which": "pattern",
                "ident": f"pattern-{number}",
            }
            for number, one in enumerate(draft.lines)
        ]

    def _on_playing(self, _speaker: Any, playing: str) -> None:
        self.playing = playing


load_kv(__file__)
