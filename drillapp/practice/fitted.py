"""The prior that the user has fitted (`drillapp fit --out FOLDER/prior.json`), where there is one."""

from __future__ import annotations

from pathlib import Path

from drillapp.learning import Prior
from drillapp.learning.prior_file import MOST, read_prior
from drillapp.practice.notice import Notice

PRIOR_FILE = "prior.json"


def fitted_prior(folder: Path) -> tuple[Prior | None, tuple[Notice, ...]]:
    """The prior in the data folder, None for the shipped one, and what the user should know."""
    path = folder / PRIOR_FILE
    try:
        if not path.exists():
            return None, ()
        with path.open(encoding="utf-8") as file:
            return read_prior(file.read(MOST + 1)), ()
    except (OSError, ValueError) as error:
        return None, (
            Notice(
                "prior",
                f"{path} cannot be used ({error}); the shipped one is used. Fit it again, or delete it.",
            ),
        )
