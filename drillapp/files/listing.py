"""What a folder shows to choose from, and where a user's own files usually lie."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

MOST = 2_000


def shown_in(folder: Path, endings: Sequence[str]) -> tuple[Path, ...]:
    """The folders, then the files with one of these endings, by name; hidden ones are left out.

    Raises OSError where the folder cannot be listed.
    """
    shown = sorted(path for path in folder.iterdir() if not path.name.startswith("."))
    folders = [path for path in shown if path.is_dir()]
    files = [path for path in shown if path.name.lower().endswith(tuple(endings)) and not path.is_dir()]
    return (*folders, *files)[:MOST]


def usual_folder() -> Path:
    """The user's documents, else their home."""
    documents = Path.home() / "Documents"
    return documents if documents.is_dir() else Path.home()
