"""What sound can come out of now, by name, so that a latency is kept for what it was measured on."""

from __future__ import annotations

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
        names = sorted({device["name"] for device in miniaudio.Devices().get_playbacks()})
    except (miniaudio.MiniaudioError, UnicodeDecodeError):
        return UNNAMED
    return ", ".join(names)[:120] or UNNAMED
