"""The composition root: the clock, the randomness, the folders and the player are made here and handed in.

Importing this module imports no Kivy.
"""

from __future__ import annotations

import os
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

from drillapp import __version__
from drillapp.files.resources import shipped
from drillapp.screens.frame.kivy_setup import prepare_kivy
from drillapp.screens.frame.options import Options
from drillapp.screens.frame.window import open_window

if TYPE_CHECKING:
    from drillapp.decks.deck import Deck
    from drillapp.decks.faults import Fault
    from drillapp.practice.practice import Practice

USUAL_WINDOW = (1280, 800)


def run(options: Options | None = None) -> int:
    """Open the app and come back when its window is closed; 0 where it ended in peace.

    Raises NoWindow where no window can be made.
    """
    options = options or Options()
    from drillapp.records import FolderError, LogError, data_folder

    def decks() -> tuple[tuple[Deck, ...], tuple[Fault, ...]]:
        from drillapp.decks.load import load_decks

        return load_decks(folder / "decks", *(options.decks or ()))

    def make() -> Practice:
        from drillapp.practice.opening import open_practice

        practice = open_practice(data_folder(data), decks, time.time, options.seed, __version__)
        if options.demo:
            from drillapp.desk.invented import fill

            fill(practice.log, folder, time.time())
            practice.change("cautions_read", True)
            practice.begin("beat", "offbeat", "skip")
        return practice

    scratch = tempfile.TemporaryDirectory(prefix="drillapp-demo-") if options.demo else None
    data = Path(scratch.name) if scratch else options.data
    try:
        folder = data_folder(data)
    except FolderError:
        # The app says so in its window; what Kivy itself must write goes to a folder of the system's.
        folder = Path(tempfile.mkdtemp(prefix="drillapp-"))
    icon = shipped("media", "icon.png")
    prepare_kivy(folder / "kivy", options.window or USUAL_WINDOW, icon)
    open_window(os.environ)

    from drillapp.screens.frame.errors import log_to
    from drillapp.screens.frame.shell import DrillApp
    from drillapp.sound import open_player

    log_to(folder)
    DrillApp(make, open_player, folder, (LogError,), decks, options.trace, options.demo).run()
    if scratch:
        scratch.cleanup()
    return 0
