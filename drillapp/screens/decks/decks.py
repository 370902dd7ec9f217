"""Decks: browse the decks, see and hear any pattern, drill one of them; the faults of deck files."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from drillapp.decks.deck import Deck
from drillapp.decks.draft import draft_of, new_draft
from drillapp.decks.find import BANDS, Found, find, meters
from drillapp.decks.folder import (
    DeckFileError,
    Removed,
    draft_path,
    load_drafts,
    new_path,
    put_back,
    remove_deck,
)
from drillapp.drills.tasks import met_key
from drillapp.music import FEATURE_TABLE
from drillapp.practice.notice import Notice
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.questions import flow
from drillapp.screens.sound.sounding import Sounding
from drillapp.screens.sound.sounds import Sound
from drillapp.screens.sound.tempo import stepped
from drillapp.screens.widgets import page, row_list, sign
from drillapp.screens.widgets.basic import Outlined
from drillapp.screens.widgets.focus import Choosable
from drillapp.words import decks as said
from drillapp.words.faults import fault_said
from drillapp.words.settings import captions
from drillapp.words.signs import title

__all__ = ["Decks", "page", "row_list", "sign"]

PREVIEW = "preview"


class SignChoice(Choosable, BoxLayout):
    """A feature's sign as a button: only patterns that show it are listed while it is chosen."""

    feature = StringProperty("")
    title = StringProperty("")

    @property
    def caption(self) -> str:
        return str(self.title)


class Chip(Outlined):
    """One of the choices that the patterns are narrowed down by, by its name."""

    value = StringProperty("")


class Decks(Sounding):
    """The shelf of decks."""

    words = StringProperty("")
    wanted = StringProperty("")
    found = StringProperty("")
    removed = StringProperty("")
    offer = StringProperty("")
    filtering = BooleanProperty(False)
    meter = StringProperty("")
    band = StringProperty("")
    met = StringProperty("")
    own = BooleanProperty(False)

    deck = NumericProperty(0)
    pattern = NumericProperty(0)
    title = StringProperty("")
    deck_title = StringProperty("")
    advice = StringProperty("")
    tempo = NumericProperty(90)
    faults = ListProperty([])
    fault_words = StringProperty("")
    shown = ObjectProperty(None, allownone=True)
    repeat = BooleanProperty(False)

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._decks: tuple[Deck, ...] = ()
        self._listed: tuple[Found, ...] = ()
        for feature in FEATURE_TABLE.values():
            choice = SignChoice(feature=feature.name, title=title(feature.name), ident=f"sign-{feature.name}")
            choice.bind(on_release=self._choose_sign)
            self.ids.signs.add_widget(choice)
        # Out of the tree, not only unseen: a hidden list would still take touches.
        self._lists = self.ids.decks.__self__, self.ids.filters.__self__
        self.on_filtering(self, self.filtering)

    def on_filtering(self, _decks: Decks, filtering: bool) -> None:
        """On the left the decks, or what the patterns of all decks are narrowed down by."""
        self.ids.left.clear_widgets()
        self.ids.left.add_widget(self._lists[filtering])

    def enter(self, deck: str = "", removed: Removed | None = None, **_given: Any) -> None:
        practice = self.app.practice
        self._decks = practice.decks
        self._removed = removed
        self.removed = removed.path.stem if removed is not None else ""
        self._drafts = load_drafts(self.app.own_decks)
        self.offer = ""
        if self.removed:
            self.offer = said.taken_out(self.removed)
        elif self._drafts:
            self.offer = said.not_saved([draft.title for draft in self._drafts])
        self._met = practice.met()
        self._offer("meter", "meters", {meter: meter for meter in meters(self._decks)})
        self._offer("band", "bands", captions(said.BAND_NAMES))
        self._offer("met", "met", captions(said.MET_NAMES))
        names = [one.name for one in self._decks]
        if deck in names:
            self.deck, self.pattern = names.index(deck), 0
        self.ids.page.names = practice.setting("counts")
        self.faults = list(practice.faults)
        self.fault_words = "\n".join(map(said.fault_line, practice.faults))
        super().enter()
        if self._decks:
            self.choose_deck(min(int(self.deck), len(self._decks) - 1), int(self.pattern))
            self.app.later(lambda: self.ids.decks.scroll_to_row(int(self.deck)))
        else:
            self.shown = None
            self.ids.decks.fill((), -1)
            self.ids.patterns.fill((), -1)

    def choose_deck(self, index: int, pattern: int = 0) -> None:
        self.deck = index
        deck = self._decks[index]
        self.deck_title = deck.title
        self.own = Path(deck.source).parent == self.app.own_decks
        self.ids.decks.fill(
            ((other.title, str(len(other.patterns)), f"deck-{other.name}") for other in self._decks), index
        )
        self._list(pattern)

    def search(self, words: str) -> None:
        """List only patterns, of all decks, with these words."""
        self.words = words
        self._list(0)

    def change_filter(self) -> None:
        """Show what the patterns can be narrowed down by, or list them all again."""
        self.filtering = not self.filtering
        self._list(0)

    def _offer(self, name: str, box: str, values: dict[str, str]) -> None:
        """Chips, one for each value by its name, of which one or none is chosen."""
        self.ids[box].clear_widgets()
        for value, caption in values.items():
            chip = Chip(caption=caption, value=value, ident=f"{name}-{value.replace(' ', '-')}")
            chip.chosen = value == getattr(self, name)
            chip.bind(on_release=lambda chip: self._narrow(name, box, chip.value))
            self.ids[box].add_widget(chip)

    def _narrow(self, name: str, box: str, value: str) -> None:
        """Take this value, or none where it was taken already."""
        setattr(self, name, "" if getattr(self, name) == value else value)
        for chip in self.ids[box].children:
            chip.chosen = chip.value == getattr(self, name)
        self._list(0)

    def _asked(self) -> dict[str, Any]:
        """Meter, difficulty and met or not, as ``find`` takes them."""
        if not self.filtering:
            return {}
        wanted = self.met == said.MET
        return {
            "meter": self.meter or None,
            "hardness": BANDS.get(self.band, (0.0, 1.0)),
            "met": (lambda pattern: (met_key(pattern) in self._met) == wanted) if self.met else None,
        }

    def _choose_sign(self, choice: SignChoice) -> None:
        choice.chosen = not choice.chosen
        self._list(0)

    def _list(self, pattern: int) -> None:
        """List the deck's patterns, or those of all decks that have all that is asked for."""
        signs = [choice for choice in reversed(self.ids.signs.children) if choice.chosen]
        self.wanted = ", ".join(choice.title for choice in signs)
        asked = self.filtering and (self.meter or self.band or self.met)
        if not self.filtering:
            signs = []
        if self.words.strip() or signs or asked:
            features = [choice.feature for choice in signs]
            self._listed = find(self._decks, self.words, features, **self._asked())
            self.found = said.found(len(self._listed), features)
        else:
            deck = self._decks[self.deck]
            self._listed = tuple((deck, one) for one in deck.patterns)
            self.found = ""
        self.ids.patterns.scroll_y = 1
        if self._listed:
            self.choose_pattern(min(pattern, len(self._listed) - 1))
        else:
            self.app.speaker.stop()
            self.shown, self.title, self.advice = None, "", ""
            self.ids.page.show(None, ())
            self.ids.patterns.fill((), -1)

    def choose_pattern(self, index: int) -> None:
        self.app.speaker.stop()
        self.pattern = index
        deck, self.shown = self._listed[index]
        self.title = said.pattern_of(self.shown.title, deck.title) if self.found else self.shown.title
        self.tempo = self.shown.pattern.tempo
        self.advice = self.shown.advice or deck.advice
        self.ids.page.show(self.shown.pattern, self.app.practice.setting("layers"))
        self.ids.patterns.fill(
            (
                (
                    other.title,
                    said.meter_and_bars(other.pattern.meter.text, len(other.pattern.bars)),
                    f"pattern-{number}",
                )
                for number, (_, other) in enumerate(self._listed)
            ),
            index,
        )

    def hear(self) -> None:
        if self.shown is None:
            return
        setting = self.app.practice.setting
        count_in = int(setting("count_in"))
        pattern = self.shown.pattern
        sound = Sound(
            pattern, self.tempo, setting("chord"), setting("voice"), count_in, self.repeat, setting("click")
        )
        self.app.speaker.toggle(PREVIEW, sound)

    def change_tempo(self, by: int) -> None:
        self.app.speaker.stop()
        self.tempo = stepped(self.tempo, by)

    def change_repeat(self) -> None:
        self.app.speaker.stop()
        self.repeat = not self.repeat

    def drill_deck(self) -> None:
        if self._decks:
            flow.begin(self.app, self.app.practice.start(deck=self._decks[self.deck].name))

    def new_deck(self) -> None:
        draft = new_draft(new_path(self.app.own_decks, "my deck"), self._decks)
        self.app.go("deck_editor", draft=draft)

    def edit_deck(self) -> None:
        """Edit the chosen deck, with what was not saved of it; of one that ships with the app, a copy."""
        if not self._decks:
            return
        deck = self._decks[self.deck]
        if not self.own:
            self.copy_deck()
            return
        left = [draft for draft in self._drafts if draft.name == deck.name]
        self.app.go(
            "deck_editor", draft=draft_of(left[0] if left else deck, None, self._decks), unsaved=bool(left)
        )

    def copy_deck(self) -> None:
        """Edit a copy of the chosen deck."""
        deck = self._decks[self.deck]
        path = new_path(self.app.own_decks, said.own_copy(deck.title))
        self.app.go("deck_editor", draft=draft_of(deck, path, self._decks))

    def share_deck(self) -> None:
        if self._decks:
            self.app.go("deck_file", deck=self._decks[self.deck])

    def go_on(self) -> None:
        """Go on with a deck that was not saved."""
        if self._drafts:
            self.app.go("deck_editor", draft=draft_of(self._drafts[0], None, self._decks), unsaved=True)

    def give_up(self) -> None:
        """Forget what was not saved; it can be put back."""
        try:
            removed = remove_deck(draft_path(self._drafts[0].name, self.app.own_decks))
        except DeckFileError as error:
            self.app.tell(Notice("decks", fault_said(error)))
            return
        self.app.later(lambda: self.app.go("decks", removed=removed))

    def put_back(self) -> None:
        if self._removed is None:
            return
        try:
            put_back(self._removed)
        except DeckFileError as error:
            self.app.tell(Notice("decks", fault_said(error)))
            return
        self.app.reload_decks()
        self.enter(deck=self._removed.path.stem)

    def drill_pattern(self) -> None:
        if self.shown is not None:
            flow.begin(self.app, self.app.practice.start(pattern=self.shown.pattern))

    def play_along(self) -> None:
        """Play along with the chosen pattern."""
        if self.shown is not None:
            self.app.go("play_along", pattern=self.shown.pattern, title=self.title, back_to="decks")

    def traced(self) -> dict[str, object]:
        return {"own": self.own, "listed": len(self._listed), "title": self.title, "found": self.found}

    def acts(self) -> dict[str, Callable[[], object]]:
        acts: dict[str, Callable[[], object]] = {
            "space": self.hear,
            "r": self.change_repeat,
            "-": partial(self.change_tempo, -1),
            "+": partial(self.change_tempo, 1),
            "=": partial(self.change_tempo, 1),
        }
        if self._decks and self.app.focus.current() is None:
            acts |= {"up": partial(self.step_pattern, -1), "down": partial(self.step_pattern, 1)}
            acts |= {"left": partial(self.step_deck, -1), "right": partial(self.step_deck, 1)}
        return acts

    def step_pattern(self, by: int) -> None:
        if self._listed:
            self.choose_pattern(min(max(int(self.pattern) + by, 0), len(self._listed) - 1))
            self.ids.patterns.scroll_to_row(int(self.pattern))

    def step_deck(self, by: int) -> None:
        self.choose_deck(min(max(int(self.deck) + by, 0), len(self._decks) - 1))


load_kv(__file__)
