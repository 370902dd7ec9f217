"""Deck files: copy one in from outside, or share a deck as a file or as its printed sheet."""

from __future__ import annotations

import os
from pathlib import Path
from threading import Event
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ObjectProperty, StringProperty

from drillapp.decks.deck import Deck
from drillapp.decks.folder import DeckFileError, copy_in
from drillapp.decks.sharing import listing, share_deck
from drillapp.records.set_work import ENDING as WORK
from drillapp.screens.decks.sheet_sharing import share_sheet
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import row_list
from drillapp.words import decks as said
from drillapp.words.faults import fault_said
from drillapp.words.language import _

__all__ = ["DeckFile", "row_list"]


class _Stopped(Exception):
    """The user wants no sheet after all."""


class DeckFile(Screen):
    """A folder to choose from, and a path that can be typed; ``deck`` is what is shared, None to open one."""

    deck = ObjectProperty(None, allownone=True)
    as_sheet = BooleanProperty(False)
    fault = StringProperty("")
    done = StringProperty("")
    working = StringProperty("")

    def enter(self, deck: Deck | None = None, **_given: Any) -> None:
        self.deck, self.as_sheet = deck, False
        self.fault = self.done = self.working = ""
        self._stop = Event()
        self.folder = getattr(self, "folder", Path.home())
        self._show_folder(self.folder)

    def leave(self) -> None:
        self._stop.set()

    def back(self) -> None:
        self.app.go("decks")

    def choose_kind(self, as_sheet: bool) -> None:
        """Share the sheet, or the file."""
        self.as_sheet = as_sheet
        path = Path(self.ids.path.text)
        self.ids.path.text = str(path.with_name(path.stem + self._ending)) if path.name else ""
        self.fault = self.done = ""

    def choose_file(self, index: int) -> None:
        """Go into the folder in this row, or take its file."""
        entry = self._entries[index]
        if entry.is_dir():
            self._show_folder(entry)
        elif self.deck is None:
            self.ids.path.text = str(entry)
            self._list(index)
        else:
            self.fault = said.kept_file()

    def act(self) -> None:
        """Open or share, as this screen was asked to."""
        self.fault = self.done = ""
        if self.working:
            return
        # These two never raise, whatever was typed.
        path = Path(os.path.expanduser(self.ids.path.text.strip()))
        if os.path.isdir(path):
            self._show_folder(path)
        elif self.deck is None:
            self._open(path)
        elif self.as_sheet:
            self._print(path)
        else:
            try:
                share_deck(self.deck, path)
            except DeckFileError as error:
                self.fault = fault_said(error)
                return
            self._show_folder(path.parent)
            self.done = said.written_to(path)

    def stop(self) -> None:
        self._stop.set()

    def traced(self) -> dict[str, object]:
        return {"fault": self.fault, "done": self.done, "working": self.working, "folder": str(self.folder)}

    @property
    def _ending(self) -> str:
        return ".pdf" if self.as_sheet else ".toml"

    def _open(self, path: Path) -> None:
        if path.suffix == WORK:
            self.app.go("work_file", path=path)
            return
        try:
            deck, faults = copy_in(path, self.app.own_decks, self.app.practice.decks)
        except DeckFileError as error:
            self.fault = fault_said(error)
            return
        if deck is None:
            self.fault = "\n".join(map(said.fault_line, faults))
            return
        self.app.reload_decks()
        self.app.go("decks", deck=deck.name)

    def _print(self, path: Path) -> None:
        deck, practice, stopped = self.deck, self.app.practice, Event()
        layers, names = deck.layers or practice.setting("layers"), practice.setting("counts")
        self._stop, self.working = stopped, said.progress(0, len(deck.patterns))

        def progress(done: int, of: int) -> None:
            if stopped.is_set():
                raise _Stopped
            Clock.schedule_once(lambda _dt: self._say_progress(said.progress(done, of), stopped))

        def job() -> tuple[str, str]:
            try:
                pages = share_sheet(deck, path, layers, names, progress)
            except DeckFileError as error:
                return "", fault_said(error)
            except _Stopped:
                return said.sheet_not_written(), ""
            return said.sheet_written_to(path, pages), ""

        def then(said: tuple[str, str]) -> None:
            if self._stop is stopped:
                self.working = ""
                self.done, self.fault = said

        self.app.worker.do(job, then)

    def _say_progress(self, words: str, stopped: Event) -> None:
        if self.working and self._stop is stopped:
            self.working = words

    def _show_folder(self, folder: Path) -> None:
        try:
            found = listing(folder, (WORK,) if self.deck is None else ())
        except DeckFileError as error:
            self.fault = fault_said(error)
            found = ()
        self.folder = folder
        if self.deck is None:
            self.ids.path.text = str(folder)
        else:
            name = Path(self.ids.path.text).name
            name = name if name.endswith(self._ending) else self.deck.name + self._ending
            self.ids.path.text = str(folder / name)
        self._entries = [*([folder.parent] if folder.parent != folder else []), *found]
        self._list(-1)

    def _list(self, chosen: int) -> None:
        self.ids.files.scroll_y = 1 if chosen < 0 else self.ids.files.scroll_y
        self.ids.files.fill(
            (
                (
                    said.up_to(path) if path == self.folder.parent else path.name,
                    _("folder") if path.is_dir() else "",
                    f"pattern-{number}",
                )
                for number, path in enumerate(self._entries)
            ),
            chosen,
        )


load_kv(__file__)
