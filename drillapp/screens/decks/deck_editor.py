"""The deck editor: patterns typed or tapped, shown and heard as one writes, saved in the user's folder."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty, StringProperty

from drillapp.decks.draft import Draft
from drillapp.decks.folder import (
    DeckFileError,
    draft_path,
    drop_draft,
    new_path,
    remove_deck,
    save_deck,
    save_draft,
)
from drillapp.music.pattern import Place
from drillapp.music.slots import Hand
from drillapp.screens.frame.base import load_kv
from drillapp.screens.sound.sounding import Sounding
from drillapp.screens.sound.sounds import Sound
from drillapp.screens.sound.tempo import stepped
from drillapp.screens.widgets import page, row_list, slot_ruler
from drillapp.screens.widgets.slot_ruler import slot_acts
from drillapp.words.faults import fault_said
from drillapp.words.language import _

__all__ = ["DeckEditor", "page", "row_list", "slot_ruler"]

PREVIEW = "preview"
KEEP_AFTER = 0.8
"""seconds without typing after which the draft is kept on disk"""


class DeckEditor(Sounding):
    """One deck of the user's own."""

    fills_slots = True

    fault = StringProperty("")
    deck_fault = StringProperty("")
    tempo = NumericProperty(80)
    saved = BooleanProperty(True)
    can_undo = BooleanProperty(False)
    is_new = BooleanProperty(True)
    readable = BooleanProperty(True)
    chosen = NumericProperty(0)
    slots = NumericProperty(1)
    bar = NumericProperty(0)
    bars = NumericProperty(1)

    _filling = False

    def enter(self, draft: Draft | None = None, unsaved: bool = False, **_given: Any) -> None:
        assert draft is not None
        self._draft = draft
        self._past: list[Draft] = []
        self._future_keep: Any = None
        self.chosen = 0
        self.is_new = not Path(draft.deck.source).exists()
        self.saved = not self.is_new and not unsaved
        self.ids.page.names = self.app.practice.setting("counts")
        super().enter()
        self._show()

    def leave(self) -> None:
        self._keep()
        super().leave()

    def back(self) -> None:
        self.app.go("decks")

    def typed(self) -> None:
        """Take what was typed into the fields."""
        if self._filling:
            return
        ids = self.ids
        draft = self._draft.typed(ids.name.text, ids.text.text, ids.meter.text, ids.swing.text)
        if ids.title.text != draft.title:
            draft = replace(draft, title=ids.title.text)
        self._take(draft, refill=False)

    def choose_pattern(self, index: int) -> None:
        self.app.speaker.stop()
        self._draft = replace(self._draft, at=index)
        self.chosen = 0
        self._show()

    def tap(self, index: int) -> None:
        """The next way to fill a slot."""
        self.chosen = index
        self._take(self._draft.tapped(index))

    def fill(self, way: str) -> None:
        """Fill the chosen slot and go on to the next."""
        self._take(self._draft.filled(int(self.chosen), way))
        self.move_on(1)

    def strike(self, hand: Hand) -> None:
        """Fill the chosen slot with a stroke of this hand and go on to the next."""
        self._take(self._draft.struck(int(self.chosen), hand))
        self.move_on(1)

    def turn(self) -> None:
        """The chosen stroke with the other hand's motion."""
        self._take(self._draft.turned(int(self.chosen)))

    def divide(self, by: int) -> None:
        """The chosen slot's beat in another number of slots."""
        place = self._places[int(self.chosen)]
        self.chosen -= place.number
        self._take(self._draft.divided(int(self.chosen), by))

    def turn_to_bar(self, by: int) -> None:
        bar = min(max(int(self.bar) + by, 0), int(self.bars) - 1)
        self.chosen = next(place.index for place in self._places if place.bar == bar)
        self._show()

    def add_bar(self) -> None:
        """The bar in sight once more, and on to it."""
        self._take(self._draft.lengthened(int(self.bar)))
        self.turn_to_bar(1)

    def drop_bar(self) -> None:
        self.chosen = next(place.index for place in self._places if place.bar == self.bar)
        self._take(self._draft.shortened(int(self.bar)))

    def move_on(self, by: int) -> None:
        self.chosen = min(max(int(self.chosen) + by, 0), len(self._places) - 1)
        self._show(refill=False)

    @property
    def _places(self) -> tuple[Place, ...]:
        return self._draft.line.shown.places

    def acts(self) -> dict[str, Callable[[], object]]:
        acts = slot_acts(self)
        if self.app.focus.current() is None:
            acts |= {"up": partial(self.step_pattern, -1), "down": partial(self.step_pattern, 1)}
            acts |= {"left": partial(self.move_on, -1), "right": partial(self.move_on, 1)}
        return acts

    def step_pattern(self, by: int) -> None:
        self.choose_pattern(min(max(self._draft.at + by, 0), len(self._draft.lines) - 1))

    def add(self) -> None:
        self._take(self._draft.added())

    def double(self) -> None:
        self._take(self._draft.doubled())

    def delete(self) -> None:
        self._take(self._draft.deleted())

    def move(self, by: int) -> None:
        self._take(self._draft.moved(by))

    def take_back(self) -> None:
        if self._past:
            self._draft = self._past.pop()
            self.saved = False
            self._show()
            self._keep_soon()

    def change_tempo(self, by: int) -> None:
        self._take(self._draft.at_tempo(stepped(self._draft.line.read.pattern.tempo, by)))

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
        kept_as = deck.name
        if self.is_new:  # its file is called after its title
            path = new_path(self.app.own_decks, deck.title)
            deck = replace(deck, name=path.stem, source=str(path))
        try:
            save_deck(deck, Path(deck.source))
        except DeckFileError as error:
            self.deck_fault = fault_said(error)
            return
        drop_draft(kept_as, self.app.own_decks)
        self.saved, self.is_new = True, False
        self.app.reload_decks()
        self.app.go("decks", deck=deck.name)

    def take_out(self) -> None:
        """Take the deck's file, or a new deck's draft, out of the folder; Decks offers to put it back."""
        deck = self._draft.as_deck()
        try:
            if self.is_new:
                save_draft(deck, self.app.own_decks)
                removed = remove_deck(draft_path(deck.name, self.app.own_decks))
            else:
                removed = remove_deck(Path(deck.source))
                drop_draft(deck.name, self.app.own_decks)
        except (DeckFileError, ValueError) as error:
            self.deck_fault = fault_said(error)
            return
        self.saved = True
        self.app.reload_decks()
        self.app.go("decks", removed=removed)

    def traced(self) -> dict[str, object]:
        return {
            "fault": self.fault,
            "saved": self.saved,
            "patterns": len(self._draft.lines),
            "text": self._draft.line.text,
            "chosen": self.chosen,
            "playing": self.playing,
        }

    def _take(self, draft: Draft, refill: bool = True) -> None:
        if draft == self._draft:
            return
        self.app.speaker.stop()
        self._past.append(self._draft)
        del self._past[:-200]
        self._draft = draft
        self.saved = False
        self._show(refill)
        self._keep_soon()

    def _keep_soon(self) -> None:
        if self._future_keep is not None:
            self._future_keep.cancel()
        self._future_keep = Clock.schedule_once(lambda _dt: self._keep(), KEEP_AFTER)

    def _keep(self) -> None:
        """Keep the draft, so that a crash does not lose it."""
        if self._future_keep is not None:
            self._future_keep.cancel()
        if self.saved or self._future_keep is None:
            return
        try:
            save_draft(self._draft.as_deck(), self.app.own_decks)
        except (DeckFileError, ValueError) as error:
            self.deck_fault = fault_said(error)

    def _show(self, refill: bool = True) -> None:
        draft, line = self._draft, self._draft.line
        if refill:
            self._filling = True
            self.ids.title.text, self.ids.name.text = draft.title, line.title
            self.ids.text.text, self.ids.meter.text = line.text, line.meter
            self.ids.swing.text = line.swing
            self._filling = False
        self.fault, self.deck_fault = line.fault, draft.title_fault
        self.can_undo = bool(self._past)
        self.tempo = line.read.pattern.tempo
        shown = line.shown
        self.readable = line.readable
        self.chosen = min(int(self.chosen), len(shown.places) - 1)
        place = shown.places[int(self.chosen)]
        self.slots, self.bar, self.bars = place.of, place.bar, len(shown.bars)
        self.ids.ruler.show(shown, int(self.chosen), self.ids.page.names)
        self.ids.page.show(line.read.pattern, self.app.practice.setting("layers"))
        self.ids.patterns.fill(
            (
                (one.title or _("(no title)"), _("fault") if one.fault else one.meter, f"pattern-{number}")
                for number, one in enumerate(draft.lines)
            ),
            draft.at,
        )


load_kv(__file__)
