"""Play along: a page that goes round and round with a moving mark, to be played with; nothing is graded."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty

from drillapp.decks.deck import DeckPattern
from drillapp.drills.growth import TOGETHER
from drillapp.drills.play_along import BARS, EVERY, LONGEST, STEPS, Round, Wish
from drillapp.music import LAYERS, Pattern, features_to_ask
from drillapp.music.harmony import KEYS, PROGRESSIONS, chord_at, next_degree
from drillapp.music.slots import Number
from drillapp.practice.notice import Notice
from drillapp.records import LogError
from drillapp.screens.frame.base import App, load_kv
from drillapp.screens.playing.along import Along
from drillapp.screens.sound.sounding import Sounding
from drillapp.screens.sound.tempo import FASTEST, bounded, stepped
from drillapp.screens.widgets import page
from drillapp.screens.widgets.basic import Outlined
from drillapp.words import play as said
from drillapp.words.faults import fault_said

__all__ = ["PlayAlong", "page"]

ONE = ("I",)


class ChordCell(Outlined):
    """One chord and its degree; ``chosen`` while it sounds. A press takes the next degree."""

    index = NumericProperty(0)


class PlayAlong(Sounding):
    """Shown by ``app.go("play_along", pattern=..., title=..., back_to=...)``.

    Without a pattern it is the last one played with, or the first there is; ``back_to``: the screen to go
    back to.
    """

    title = StringProperty("")
    running = BooleanProperty(False)
    words = StringProperty("")
    chord = StringProperty("")
    then = StringProperty("")
    tempo = StringProperty("")
    rise = StringProperty("")
    every = StringProperty("")
    in_key = StringProperty("")
    chords = StringProperty("")
    each = StringProperty("")

    def __init__(self, app: App) -> None:
        super().__init__(app)
        self._pattern: Pattern | None = None
        self._key = "G"
        self._degrees: tuple[str, ...] = ONE
        self._wish = Wish(80, FASTEST)
        self._back_to = "today"
        self._chosen: Number | None = None  # the tempo chosen by hand that no round has yet
        self._round: Round | None = None
        self._place: int | None = None
        self._along = Along(app.speaker, app.worker, self._moved, self._ended)

    def enter(
        self, pattern: Pattern | None = None, title: str = "", back_to: str = "today", **_given: Any
    ) -> None:
        super().enter()
        self._back_to = back_to
        first = self._first_page()
        if pattern is None and self._pattern is None and first is not None:
            pattern, title = first.pattern, first.title
        if pattern is not None and pattern != self._pattern:
            self._pattern, self.title = pattern, title
            self._wish = replace(self._wish, tempo=bounded(pattern.tempo))
        chord = self.app.practice.setting("chord")
        if self._degrees == ONE and chord in KEYS:
            self._key = chord
        self.ids.page.names = self.app.practice.setting("counts")
        shown = self.app.practice.setting("layers")
        self.ids.page.show(self._pattern, [layer for layer in LAYERS if layer in shown])
        self.words = said.before_start(LONGEST)
        self._take_chords()

    def _first_page(self) -> DeckPattern | None:
        """The first of the decks whose signs were all met; the very first where none is."""
        pages = [one for deck in self.app.practice.decks for one in deck.patterns]
        met = {*self.app.practice.met_signs(), *TOGETHER}
        return next(
            (one for one in pages if features_to_ask(one.pattern) <= met), pages[0] if pages else None
        )

    def leave(self) -> None:
        self._along.stop()
        super().leave()

    def pause(self) -> None:
        self._along.stop()
        super().pause()

    def toggle(self) -> None:
        """Start, or stop."""
        if self._along.running:
            self._along.stop()
        elif self._pattern is not None:
            self.running, self.words = True, said.getting_ready()
            self._along.start(self._pattern, self._wish, self.app.practice.setting("voice"))

    def change_tempo(self, by: int) -> None:
        """Slower or faster; while it plays, from the next round on."""
        last = self._along.last
        now = self._wish.tempo if last is None else last.tempo
        tempo = stepped(now if self._chosen is None else self._chosen, by)
        self._chosen = tempo if self._along.running else None
        self._change(replace(self._wish, tempo=tempo), tempo)

    def change_rise(self, by: int) -> None:
        self._change(replace(self._wish, step=_beside(STEPS, self._wish.step, by)))

    def change_every(self, by: int) -> None:
        self._change(replace(self._wish, every=_beside(EVERY, self._wish.every, by)))

    def change_each(self, by: int) -> None:
        self._change(replace(self._wish, bars_a_chord=_beside(BARS, self._wish.bars_a_chord, by)))

    def change_key(self, by: int) -> None:
        self._key = KEYS[(KEYS.index(self._key) + by) % len(KEYS)]
        self._take_chords()

    def change_chords(self, by: int) -> None:
        """One chord, or one of the usual progressions."""
        choices = (ONE, *PROGRESSIONS)
        at = choices.index(self._degrees) if self._degrees in choices else 0
        self._degrees = choices[(at + by) % len(choices)]
        self._take_chords()

    def change_degree(self, index: int) -> None:
        """Another degree for one of the chords."""
        degrees = list(self._degrees)
        degrees[index] = next_degree(degrees[index])
        self._degrees = tuple(degrees)
        self._take_chords()

    def _take_chords(self) -> None:
        chords = tuple(chord_at(self._key, degree) for degree in self._degrees)
        cells = self.ids.cells
        cells.clear_widgets()
        for index, (degree, chord) in enumerate(zip(self._degrees, chords, strict=True)):
            cell = ChordCell(index=index, caption=f"{degree}  {chord}", ident=f"chord-{index + 1}")
            cell.bind(on_release=lambda cell: self.change_degree(cell.index))
            cells.add_widget(cell)
        self._change(replace(self._wish, chords=chords))

    def _change(self, wish: Wish, tempo: Number | None = None) -> None:
        self._wish = wish
        if self._along.running:
            self._along.change(wish, tempo)
            self.words = said.from_next_round()
        self.tempo = f"{wish.tempo:g}"
        self.rise, self.every = said.rise(wish.step), said.every(wish.every)
        self.in_key, self.each = said.in_key(self._key), said.bars_a_chord(wish.bars_a_chord)
        self.chords = said.progression(self._degrees)
        if not self._along.running:
            self._show_chord(0)

    def _moved(self, heard: Round | None, place: int | None) -> None:
        """Show what is heard now; called each frame."""
        if (heard, place) == (self._round, self._place):
            return
        if heard is not None and self._pattern is not None and place is not None:
            bar = self._pattern.places[place].bar
            if heard is not self._round:
                self._show_round(heard)
            self._show_chord(heard.bar + bar, heard.chords[bar])
        elif self._along.running:
            self.words = said.counting_in()
        self._round, self._place = heard, place
        self.ids.page.cursor = place

    def _show_round(self, heard: Round) -> None:
        wish = self._wish
        rises = wish.step and heard.tempo < wish.fastest
        then = min(heard.tempo + wish.step, wish.fastest) if rises else None
        self.words = said.round_place(
            heard.number,
            float(heard.tempo),
            max(wish.every - heard.held, 0),
            None if then is None else float(then),
        )
        if self._chosen == heard.tempo:
            self._chosen = None
        self.tempo = f"{heard.tempo if self._chosen is None else self._chosen:g}"

    def _show_chord(self, bar: int, sounding: str = "") -> None:
        """The chord of a bar, and the next other one."""
        wish = self._wish
        self.chord = sounding or wish.chord(bar)
        later = (wish.chord(bar + ahead) for ahead in range(1, len(wish.chords) * wish.bars_a_chord + 1))
        then = next((chord for chord in later if chord != self.chord), "")
        self.then = said.next_chord(then) if then else ""
        place = wish.chord_place(bar)
        for cell in self.ids.cells.children:
            cell.chosen = self._along.running and cell.index == place

    def _ended(self, seconds: float, by_itself: bool) -> None:
        self.running = False
        self._chosen = None
        self.tempo = f"{self._wish.tempo:g}"
        self.words = said.rest_now() if by_itself else said.before_start(LONGEST)
        self._show_chord(0)
        assert self._pattern is not None
        now = self.app.practice.now()
        try:
            self.app.practice.played_along(self._pattern, now - seconds, now)
        except LogError as error:
            self.app.tell(Notice("log", fault_said(error)))

    def acts(self) -> dict[str, Callable[[], object]]:
        slower, faster = partial(self.change_tempo, -1), partial(self.change_tempo, 1)
        return {
            "space": self.toggle,
            "-": slower,
            **dict.fromkeys(("+", "="), faster),
        }

    def back(self) -> None:
        self.app.go(self._back_to)

    def traced(self) -> dict[str, object]:
        return {
            "running": self.running,
            "round": self._round.number if self._round else 0,
            "tempo": float(self.tempo or 0),
            "chord": self.chord,
            "then": self.then,
            "volume": self.volume,
        }


def _beside(choices: tuple[int, ...], now: int, by: int) -> int:
    """The choice beside this one, as far as there is one."""
    return choices[min(max(choices.index(now) + by, 0), len(choices) - 1)]


load_kv(__file__)
