"""Choosing a file or a folder over the screen that asks for one; a path can be typed too."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from kivy.properties import BooleanProperty, StringProperty

from drillapp.files.listing import shown_in, usual_folder
from drillapp.screens.frame.base import Screen, load_kv
from drillapp.screens.widgets import head, row_list
from drillapp.words import files as said
from drillapp.words.decks import up_to
from drillapp.words.language import _

__all__ = ["ChooseFile", "head", "row_list"]


class ChooseFile(Screen):
    """Hands ``then`` the path once it is chosen; ``folders``: a folder will do."""

    title = StringProperty("")
    about = StringProperty("")
    caption = StringProperty("")
    fault = StringProperty("")
    folders = BooleanProperty(False)

    def enter(
        self,
        title: str = "",
        about: str = "",
        caption: str = "",
        folder: Path | None = None,
        endings: Sequence[str] = (),
        file_name: str | None = None,
        folders: bool = False,
        then: Callable[[Path], None] = lambda path: None,
        **_given: Any,
    ) -> None:
        """``file_name``: of the file to be written, None where one that is there is chosen."""
        self.title, self.about, self.caption, self.folders = title, about, caption, folders
        self._endings, self._name, self._then = tuple(endings), file_name, then
        self.fault = ""
        self.show_folder(folder or usual_folder())

    def back(self) -> None:
        self.app.uncover()

    def choose_row(self, index: int) -> None:
        """Go into the folder in this row, or take its file."""
        entry = self._entries[index]
        if entry.is_dir():
            self.show_folder(entry)
        elif self._name is None:
            self.ids.path.text = str(entry)
            self._list(index)
        else:
            self.fault = said.is_there(entry)

    def act(self) -> None:
        """Take what is written in the field, or go into it where it is a folder and a file is wanted."""
        path = Path(self.ids.path.text.strip()).expanduser()
        if path.is_dir() and not self.folders:
            self.show_folder(path)
        elif self._name is None and not path.exists():
            self.fault = said.not_there(path)
        elif self._name is not None and path.exists():
            self.fault = said.is_there(path)
        else:
            self.app.uncover()
            self._then(path)

    def traced(self) -> dict[str, object]:
        return {"fault": self.fault, "folder": str(self.folder)}

    def show_folder(self, folder: Path) -> None:
        self.fault = ""
        try:
            found = shown_in(folder, self._endings) if self._endings else ()
        except OSError as error:
            self.fault, found = said.not_listed(folder, error.strerror or str(error)), ()
        self.folder = folder
        self.ids.path.text = str(folder if self._name is None else folder / self._name)
        self._entries = [*([folder.parent] if folder.parent != folder else []), *found]
        self._list(-1)

    def _list(self, chosen: int) -> None:
        self.ids.files.scroll_y = 1 if chosen < 0 else self.ids.files.scroll_y
        self.ids.files.fill(
            (
                (
                    up_to(path) if path == self.folder.parent else path.name,
                    _("folder") if path.is_dir() else "",
                    f"row-{number}",
                )
                for number, path in enumerate(self._entries)
            ),
            chosen,
        )


load_kv(__file__)
