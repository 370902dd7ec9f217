"""Collecting: files, folders and the watched folder, with how far it is; then a list, a line a file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from threading import Event
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty, StringProperty

from drillapp.desk.collecting import ENDINGS, FileLine, Stopped, watch, watched
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import head, row_list
from drillapp.words import desk as words
from drillapp.words import desk_screens as said
from drillapp.words.language import _

__all__ = ["DeskCollect", "head", "row_list"]


class DeskCollect(Screen):
    """``share``: of the file that is read; ``line``: what is said of the file that is chosen in the list."""

    heading = StringProperty("")
    watching = StringProperty("")
    progress = StringProperty("")
    line = StringProperty("")
    working = BooleanProperty(False)
    share = NumericProperty(0)

    def enter(self, paths: Sequence[Path] = (), **_given: Any) -> None:
        """``paths``: collected at once."""
        self._stop = Event()
        self._lines: tuple[FileLine, ...] = ()
        self.heading = self.line = self.progress = ""
        self.working = False
        self.ids.lines.fill((), -1)
        self.watching = said.watching(watched(self.app.desk.log))
        if paths:
            self.collect(paths)

    def leave(self) -> None:
        self._stop.set()

    def back(self) -> None:
        self.app.go("desk", done=self.heading)

    def choose(self) -> None:
        """Choose what to collect."""
        self.app.over(
            "choose_file",
            title=_("Collect"),
            about=_("A file that was handed in, or a folder with such files."),
            caption=_("Collect"),
            folder=watched(self.app.desk.log),
            endings=ENDINGS,
            folders=True,
            then=lambda path: self.collect([path]),
        )

    def choose_watched(self) -> None:
        self.app.over(
            "choose_file",
            title=_("Folder to go through"),
            about=_("Files that come to lie there are collected whenever the desk is opened."),
            caption=_("Choose"),
            folder=watched(self.app.desk.log),
            endings=ENDINGS,
            folders=True,
            then=self._watch,
        )

    def collect(self, paths: Sequence[Path]) -> None:
        """Collect in the background."""
        if self.working:
            return
        desk, stopped = self.app.desk, Event()
        self._stop, self.working, self.heading = stopped, True, ""

        def progress(number: int, of: int, share: float) -> None:
            if stopped.is_set():
                raise Stopped
            Clock.schedule_once(lambda _dt: self._say(number, of, share, stopped))

        def then(lines: tuple[FileLine, ...]) -> None:
            if self._stop is stopped:
                self._show(lines, stopped.is_set())

        self.app.worker.do(lambda: desk.collect(paths, progress), then)

    def stop(self) -> None:
        self._stop.set()

    def choose_line(self, index: int) -> None:
        """Say in full what became of a file."""
        self.line = words.file_line(self._lines[index])
        self._list(index)

    def traced(self) -> dict[str, object]:
        return {"heading": self.heading, "working": self.working, "line": self.line}

    def _watch(self, path: Path) -> None:
        watch(self.app.desk.log, path if path.is_dir() else path.parent)
        self.watching = said.watching(watched(self.app.desk.log))
        self.collect(self.app.desk.waiting())

    def _say(self, number: int, of: int, share: float, stopped: Event) -> None:
        if self.working and self._stop is stopped:
            self.progress, self.share = words.collecting(number, of), (number - 1 + share) / of

    def _show(self, lines: tuple[FileLine, ...], stopped: bool) -> None:
        self.working, self.progress = False, ""
        # What could not be taken stands first: it asks for something to be done.
        self._lines = tuple(sorted(lines, key=lambda line: line.done is not None))
        self.heading = said.stopped(len(lines)) if stopped else words.collected_heading(lines)
        self.line = words.file_line(self._lines[0]) if self._lines and not self._lines[0].done else ""
        self._list(0 if self.line else -1)

    def _list(self, chosen: int) -> None:
        self.ids.lines.fill(
            (
                (line.path.name, said.file_note(line), f"file-{number}")
                for number, line in enumerate(self._lines)
            ),
            chosen,
        )


load_kv(__file__)
