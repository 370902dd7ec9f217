"""What sound can come out of now, by name, so that a latency is kept for what it was measured on."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Any

UNNAMED = "the usual device"


def device_names() -> str:
    """The names of all playback devices that the system lists, or UNNAMED where it tells none.

    Plugging something in or out changes them. Takes some 15 ms. No library says which of them the system
    plays through, nor is that ours to choose.
    """
    try:
        import miniaudio
    except ImportError:
        return UNNAMED
    try:
        found = miniaudio.Devices(_backends(miniaudio)).get_playbacks()
    except (miniaudio.MiniaudioError, UnicodeDecodeError):
        return UNNAMED
    return ", ".join(sorted({device["name"] for device in found}))[:120] or UNNAMED


def _backends(library: Any) -> list[Any] | None:
    """Linux: the sound server where one runs, which alone knows wireless headphones; else ALSA's cards.

    A server that does not run is never asked: asking starts it. Elsewhere: the library's own choice.
    """
    if not sys.platform.startswith("linux"):
        return None
    folder = os.environ.get("XDG_RUNTIME_DIR") or f"/run/user/{os.getuid()}"
    if os.environ.get("PULSE_SERVER") or Path(folder, "pulse", "native").exists():
        return [library.Backend.PULSEAUDIO]
    return [library.Backend.ALSA]
