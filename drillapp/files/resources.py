"""Where the decks and media that ship with the app are, installed or run from a checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parents[1]


def shipped(*parts: str) -> Path:
    """Path of a shipped file or folder, such as ``shipped("media", "fonts", "Bravura.otf")``.

    A wheel carries ``decks`` and ``media`` inside the package (``_data``, see ``force-include`` in
    pyproject.toml); a checkout has them at its top level. Raises FileNotFoundError where neither has it.
    """
    for root in (_PACKAGE / "_data", _PACKAGE.parent):
        path = root.joinpath(*parts)
        if path.exists():
            return path
    raise FileNotFoundError(f"{'/'.join(parts)} is missing from this copy of drillapp; install it again")
