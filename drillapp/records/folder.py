"""Where the learner's data is kept.

Order of choice: the argument, else the environment variable DRILLAPP_DATA, else the platform's own folder
for a user's data (platformdirs).
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import platformdirs

from drillapp.files.writing import make_private_folder

from .errors import FolderError

VARIABLE = "DRILLAPP_DATA"


def data_folder(override: str | os.PathLike[str] | None = None) -> Path:
    """The folder for the learner's data, made where it is missing.

    Raises FolderError where it cannot be made or written to; the message says which folder and who chose it.
    """
    if override is not None:
        folder, chosen, code = Path(override), "the folder that was asked for", "folder-asked-for"
    elif os.environ.get(VARIABLE):
        folder, chosen = Path(os.environ[VARIABLE]), f"the folder in {VARIABLE}"
        code = "folder-in-variable"
    else:
        folder, chosen = (
            Path(platformdirs.user_data_dir("drillapp", appauthor=False)),
            "this user's data folder",
        )
        code = "folder-of-user"
    folder = Path(os.path.expanduser(folder)).absolute()
    try:
        make_private_folder(folder)
        # Permission bits do not tell for every user and file system; a file does.
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        raise FolderError(
            f"{folder}: {chosen} cannot be used ({error.strerror or error}). "
            f"Choose another with --data or the environment variable {VARIABLE}.",
            code=code,
            places={"folder": folder, "variable": VARIABLE, "reason": error.strerror or error},
        ) from error
    return folder
