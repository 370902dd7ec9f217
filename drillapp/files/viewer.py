"""Showing a file in the program that the system opens such files with."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path


def show(path: Path) -> bool:
    """Open the file with the system's own viewer, which is not waited for; False where there is none.

    ``xdg-open`` (freedesktop.org's xdg-utils), ``open`` on macOS, the shell on Windows.
    """
    if sys.platform == "win32":
        try:
            os.startfile(path)
        except OSError:
            return False
        return True
    program = shutil.which("open" if sys.platform == "darwin" else "xdg-open")
    if program is None:
        return False
    quiet = subprocess.DEVNULL
    try:
        subprocess.Popen(
            [program, str(path)], stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True
        )
    except OSError:
        return False
    return True
