"""Has Kivy make its window, or finds out what stands in its way.

Kivy itself would end the process, with a page of its log or without a word.
"""

from __future__ import annotations

import ctypes
import logging
import re
import sys
from collections.abc import Callable, Mapping

from drillapp.words.window import no_window_said

#: what SDL and Kivy open for a window on Linux, each with the Debian package that has it
LIBRARIES = {"libX11.so.6": "libx11-6", "libXext.so.6": "libxext6", "libGL.so.1": "libgl1"}
OLDEST_OPENGL = "2.0"
"""Kivy's own limit, kivy.core.gl.MIN_REQUIRED_GL_VERSION"""


class NoWindow(Exception):
    """No window can be made; the message says what is missing and what to install."""


def open_window(environ: Mapping[str, str]) -> None:
    """Make the window, once Kivy is prepared. Raises NoWindow."""
    reasons = _Reasons()
    logging.getLogger("kivy").addHandler(reasons)
    # Kivy calls this where OpenGL is too old, instead of going on until it crashes.
    sys._kivy_opengl_required_func = _refuse  # type: ignore[attr-defined]
    try:
        made = _make_window()
    finally:
        logging.getLogger("kivy").removeHandler(reasons)
    if not made:
        reason = reasons.found[0] if reasons.found else ""
        raise NoWindow(no_window_said(*what_is_missing(environ, sys.platform, _is_there, reason)))


def what_is_missing(
    environ: Mapping[str, str], platform: str, is_there: Callable[[str], bool], reason: str
) -> tuple[str, dict[str, str]]:
    """Why there is no window, for ``no_window_said``; ``is_there`` tells whether a library is there."""
    if platform != "linux":
        return "no-driver", {"oldest": OLDEST_OPENGL, "reason": reason}
    display = environ.get("DISPLAY", "")
    if not display:
        return "only-wayland" if environ.get("WAYLAND_DISPLAY") else "no-screen", {}
    lacking = [name for name in LIBRARIES if not is_there(name)]
    if lacking:
        packages = [LIBRARIES[name] for name in lacking]
        return "no-libraries", {"libraries": ", ".join(lacking), "packages": " ".join(packages)}
    if reason.endswith("not available"):  # SDL, of the kind of screen
        return "no-answer", {"display": display}
    return "no-opengl", {"display": display, "oldest": OLDEST_OPENGL, "reason": reason}


def _make_window() -> bool:
    try:
        from kivy.core.window import Window
    except SystemExit:  # another of Kivy's ways to give up
        return False
    return Window is not None


def _refuse(major: int, minor: int, *_told: object) -> None:
    raise RuntimeError(f"it is OpenGL {major}.{minor}")


def _is_there(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


class _Reasons(logging.Handler):
    """Keeps why SDL made no window: in Kivy's log a line such as ``sdl2 - RuntimeError: b'...'``."""

    def __init__(self) -> None:
        super().__init__(logging.CRITICAL)
        self.found: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        for line in re.finditer(r"^sdl2 - \w+: (?:b'(.*)'|(.*))$", record.getMessage(), re.MULTILINE):
            self.found.append(line[1] or line[2])
