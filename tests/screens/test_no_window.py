"""Without a window the app says in one sentence what is missing and what to install."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from window import ROOT, XServer

from drillapp.screens.frame.window import what_is_missing
from drillapp.words.window import no_window_said

NOBODYS_DISPLAY = ":54321"


def what_the_app_says(folder: Path, **environment: str) -> str:
    """The one line on standard error of an app that ends with 1 before it has a window."""
    usual = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY")}
    done = subprocess.run(
        [sys.executable, "-m", "drillapp", "--data", str(folder)],
        env={**usual, "PYTHONPATH": str(ROOT), **environment},
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (1, "", 1), done.stderr
    assert done.stderr.startswith("drillapp: no window can be made: ")
    return done.stderr


def test_a_machine_without_a_screen_is_told(tmp_path: Path) -> None:
    said = what_the_app_says(tmp_path)
    assert "neither DISPLAY nor WAYLAND_DISPLAY is set" in said and "apt install xvfb" in said


def test_a_display_where_nobody_answers_is_named(tmp_path: Path) -> None:
    assert f"no screen answers at DISPLAY={NOBODYS_DISPLAY}" in what_the_app_says(
        tmp_path, DISPLAY=NOBODYS_DISPLAY
    )


def test_a_missing_opengl_library_is_named_with_its_package(tmp_path: Path) -> None:
    # The dynamic loader ends its search at a file of that name, even where it is no library (ld.so(8)).
    broken = tmp_path / "libraries"
    broken.mkdir()
    (broken / "libGL.so.1").write_text("")
    said = what_the_app_says(tmp_path, DISPLAY=NOBODYS_DISPLAY, LD_LIBRARY_PATH=str(broken))
    assert "missing: libGL.so.1;" in said and "apt install libgl1)" in said


def test_an_opengl_that_is_too_old_is_told(landscape: XServer, tmp_path: Path) -> None:
    # Mesa's own switch, documented with its environment variables.
    said = what_the_app_says(tmp_path, DISPLAY=landscape.display, MESA_GL_VERSION_OVERRIDE="1.4")
    assert "offers no OpenGL 2.0 (it is OpenGL 1.4)" in said


@pytest.mark.parametrize(
    ("environment", "platform", "reason", "said"),
    [
        ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", "x11,wayland not available", "apt install xwayland"),
        ({"DISPLAY": ":0"}, "linux", "GLX is not supported", "OpenGL 2.0 (GLX is not supported)"),
        ({"DISPLAY": ":0"}, "linux", "", "(Kivy gives no reason); install a driver"),
        ({}, "win32", "no pixel format", "OpenGL 2.0 is needed (no pixel format); install the driver"),
        ({}, "darwin", "", "OpenGL 2.0 is needed (Kivy gives no reason); install"),
    ],
)
def test_the_sentence_fits_what_is_missing(
    environment: dict[str, str], platform: str, reason: str, said: str
) -> None:
    cause, places = what_is_missing(environment, platform, lambda _name: True, reason)
    assert said in no_window_said(cause, places)
