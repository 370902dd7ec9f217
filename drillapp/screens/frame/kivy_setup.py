"""Settles Kivy's environment and configuration; must run before the first ``import kivy``.

Kivy reads the command line, writes a config and icons into ``~/.kivy`` and prints its log unless told
otherwise; here it does none of these. Touch comes through SDL, so no other input provider is opened.
"""

from __future__ import annotations

import contextlib
import ctypes
import logging
import os
import sys
import tempfile
from pathlib import Path

from drillapp.files.writing import make_private_folder

SMALLEST_WINDOW = (600, 600)


def prepare_kivy(home: Path, window: tuple[int, int], icon: Path | None = None) -> None:
    """Point Kivy at ``home`` (a temporary folder where it cannot be written) and set the window's size."""
    try:
        make_private_folder(home)
        writable = os.access(home, os.W_OK)
    except OSError:
        writable = False
    if not writable:
        home = Path(tempfile.mkdtemp(prefix="drillapp-"))
    _give_memory_back()
    os.environ["KIVY_NO_ARGS"] = "1"
    os.environ["KIVY_HOME"] = str(home)
    os.environ["KIVY_LOG_MODE"] = "PYTHON"  # leaves Python's own logging and stderr alone
    os.environ["KIVY_NO_FILELOG"] = "1"
    os.environ.setdefault("KIVY_IMAGE", "sdl2")  # else Pillow is loaded beside it, for nothing
    os.environ["KIVY_NO_CONSOLELOG"] = "1"
    if sys.platform == "linux":
        # Without a screen SDL would draw for nobody to see, and Kivy's own X11 window would end the process.
        os.environ.setdefault("SDL_VIDEODRIVER", "x11,wayland")
        os.environ.setdefault("KIVY_WINDOW", "sdl2")
    # SDL repeats each touch as a mouse click unless told not to.
    os.environ.setdefault("SDL_TOUCH_MOUSE_EVENTS", "0")
    logging.getLogger("kivy").setLevel(logging.ERROR)
    logging.getLogger("kivy").propagate = False
    logging.getLogger("kivy").addHandler(logging.NullHandler())

    from kivy.config import Config

    width, height = window
    Config.set("graphics", "width", width)
    Config.set("graphics", "height", height)
    Config.set("graphics", "minimum_width", SMALLEST_WINDOW[0])
    Config.set("graphics", "minimum_height", SMALLEST_WINDOW[1])
    # Shapes smooth their own edges; sampling each pixel several times would cost memory and time.
    Config.set("graphics", "multisamples", 0)
    Config.set("graphics", "vsync", 0)  # waiting for the screen would delay touches
    if icon is not None:
        Config.set("kivy", "window_icon", str(icon))
    Config.set("kivy", "exit_on_escape", 0)
    Config.set("kivy", "desktop", 0)
    for device, _ in list(Config.items("input")):
        Config.remove_option("input", device)
    Config.set("input", "mouse", "mouse,disable_multitouch")


def _give_memory_back() -> None:
    """Have glibc return large blocks to the system when they are freed, from every thread.

    Rendered sounds come and go in two threads; by default the allocator keeps what they leave. Parameters of
    mallopt(3): M_TRIM_THRESHOLD is -1, M_MMAP_THRESHOLD -3, M_ARENA_MAX -8.
    """
    with contextlib.suppress(OSError, AttributeError):
        mallopt = ctypes.CDLL(None).mallopt
        for parameter, value in ((-1, 131072), (-3, 131072), (-8, 1)):
            mallopt(parameter, value)
