"""Players: one facade, one file for each library; a library is imported only when its turn comes.

In turn: simpleaudio (the most even start; Python older than 3.12 only), miniaudio, Kivy's own sound (only
where neither of the two is installed), and silence.
"""

from __future__ import annotations

import sys
from importlib import import_module
from importlib.util import find_spec
from typing import cast

from drillapp.sound.players.facade import SAFE_VOLUME, Handle, Opener, Output, Player
from drillapp.sound.players.quiet import quiet_alsa

__all__ = ["PLAYERS", "SAFE_VOLUME", "Handle", "Player", "open_player"]

PLAYERS = ("simpleaudio", "miniaudio", "kivy", "silent")
"""Names that ``open_player`` knows, in the order in which they are tried."""
NO_DEVICE = (
    "No sound device answers, so nothing can be heard. Reading goes on without sound; "
    "connect headphones or a loudspeaker and it will be used."
)
SILENCED = "Sound is switched off."


def _opener(name: str) -> Opener:
    def open_it() -> Output:
        quiet_alsa()
        return cast(Output, import_module(f"drillapp.sound.players.{name}_output").open_output())

    return open_it


def _installed(name: str) -> bool:
    return find_spec(name) is not None


def _in_turn(preferred: str | None) -> list[str]:
    if preferred == "silent":
        return ["silent"]
    names = [name for name in ("miniaudio",) if _installed(name)]
    if sys.version_info < (3, 12) and _installed("simpleaudio"):
        names.insert(0, "simpleaudio")
    if not names:
        names = ["kivy"]
    if preferred is not None:
        names = [preferred, *(name for name in names if name != preferred)]
    return [*names, "silent"]


def open_player(preferred: str | None = None) -> Player:
    """A player on the first library that finds a device; ``preferred`` is tried first.

    Never raises for a missing device or library: then the player is silent and its ``notice`` says so. Raises
    ValueError for a name that is not in PLAYERS.
    """
    if preferred is not None and preferred not in PLAYERS:
        raise ValueError(f"no player is called {preferred!r}; there are {', '.join(PLAYERS)}")
    notice = SILENCED if preferred == "silent" else NO_DEVICE
    return Player([_opener(name) for name in _in_turn(preferred)], notice)
