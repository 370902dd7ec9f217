"""What the app is started with, from the command line and the environment. No Kivy here."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Options:
    """Where the data and the decks are; for tests also a seed, a window's size and a trace file.

    ``demo``: a scratch copy with an invented class, in the place of all data.

    None stands for the usual: the platform's user folder, the shipped decks, a seed from the clock,
    1280 x 800 pixels, no trace.
    """

    data: Path | None = None
    decks: tuple[Path, ...] | None = None
    seed: int | None = None
    window: tuple[int, int] | None = None
    trace: Path | None = None
    demo: bool = False

    @classmethod
    def from_environment(cls, environ: Mapping[str, str], **given: Any) -> Options:
        """The options that the environment sets, with those that are given (and not None) on top.

        >>> Options.from_environment({"DRILLAPP_WINDOW": "800x1280"}, seed=7).window
        (800, 1280)
        """
        options = cls()
        if environ.get("DRILLAPP_SEED"):
            options = replace(options, seed=int(environ["DRILLAPP_SEED"]))
        if environ.get("DRILLAPP_WINDOW"):
            options = replace(options, window=_size(environ["DRILLAPP_WINDOW"]))
        if environ.get("DRILLAPP_TRACE"):
            options = replace(options, trace=Path(environ["DRILLAPP_TRACE"]))
        return replace(options, **{name: value for name, value in given.items() if value is not None})


def _size(text: str) -> tuple[int, int]:
    match = re.fullmatch(r"(\d{2,5})x(\d{2,5})", text)
    if not match:
        raise ValueError(f"DRILLAPP_WINDOW={text!r} is not a size; write it as 1280x800")
    return int(match[1]), int(match[2])
