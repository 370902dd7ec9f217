"""A report on a student or a class: for whom, as what and where; then it is written, and shown."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from kivy.factory import Factory
from kivy.properties import StringProperty

from drillapp.decks.deck import Deck
from drillapp.files.listing import usual_folder
from drillapp.files.viewer import show
from drillapp.reports.reports import FORMS, REPORTS, Asked, Of, file_in, write
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import head
from drillapp.words import reports as said
from drillapp.words.language import _

__all__ = ["DeskPrint", "head"]


class DeskPrint(Screen):
    """Shown over the screen that asks for the report; ``reader`` and ``form`` are what is chosen."""

    title = StringProperty("")
    care = StringProperty("")
    reader = StringProperty("teacher")
    form = StringProperty(FORMS[0])
    place = StringProperty("")
    fault = StringProperty("")
    done = StringProperty("")

    def enter(
        self,
        of: Of = "student",
        key: str | None = None,
        called: str = "",
        since: date | None = None,
        deck: Deck | None = None,
        **_given: Any,
    ) -> None:
        """``called``: the name of the student or class; ``since``, ``deck``: which answers are looked at."""
        self._of, self._called = of, called
        self._asked = Asked(self.app.desk, key, since, self.app.invented, deck)
        self._working = False
        self.title, self.care = said.to_print(called), said.who_may_see(of)
        self.fault = self.done = ""
        self.folder = getattr(self, "folder", usual_folder())
        self.place = str(self.folder)
        readers = [one.reader for one in REPORTS if one.of == of]
        self._offer(self.ids.readers, "reader", readers, said.reader_name)
        self._offer(self.ids.forms, "form", FORMS, said.form_name)
        self.choose("reader", readers[0])
        self.choose("form", self.form)

    def back(self) -> None:
        self.app.uncover()

    def choose(self, what: str, name: str) -> None:
        """Choose the reader or the form."""
        setattr(self, what, name)
        self.fault = self.done = ""
        for one in self.ids[f"{what}s"].children:
            one.chosen = one.ident == f"{what}-{name}"

    def other_folder(self) -> None:
        self.app.over(
            "choose_file",
            title=_("Where the report goes"),
            about=_("A folder of this device, or a stick."),
            caption=_("Choose"),
            folder=self.folder,
            endings=tuple(f".{form}" for form in FORMS),
            folders=True,
            then=self._take_folder,
        )

    def act(self) -> None:
        """Write the report, away from the frame loop, and show it."""
        if self._working:
            return
        report = next(one for one in REPORTS if (one.of, one.reader) == (self._of, self.reader))
        path = file_in(self.folder, self._called, self.reader, self.app.desk.day, self.form)
        asked, form = self._asked, self.form
        self._working, self.fault, self.done = True, "", _("Writing the report ...")

        def job() -> tuple[str, str]:
            try:
                write(report, asked, form, path)
            except OSError as error:
                return "", said.not_written(path, error.strerror or error)
            return said.written(path, show(path)), ""

        def then(told: tuple[str, str]) -> None:
            self._working = False
            if self._asked is asked:
                self.done, self.fault = told

        self.app.worker.do(job, then)

    def traced(self) -> dict[str, object]:
        return {
            "title": self.title,
            "fault": self.fault,
            "done": self.done,
            "reader": self.reader,
            "form": self.form,
        }

    def _offer(self, place: Any, what: str, names: Sequence[str], name_of: Callable[[str], str]) -> None:
        place.clear_widgets()
        for name in names:
            one = Factory.Pill(caption=name_of(name), ident=f"{what}-{name}", bold=False)
            one.bind(on_release=partial(self._chosen, what, name))
            place.add_widget(one)

    def _chosen(self, what: str, name: str, _pill: object) -> None:
        self.choose(what, name)

    def _take_folder(self, path: Path) -> None:
        self.folder = path if path.is_dir() else path.parent
        self.place = str(self.folder)


load_kv(__file__)
