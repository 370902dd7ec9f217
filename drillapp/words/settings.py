"""Settings in words: what each choice is called, and how much a number is."""

from __future__ import annotations

from collections.abc import Mapping

from .language import _, marked, ngettext

DRILLS: dict[str, str] = {
    "page_to_sound": marked("Page to sound"),
    "sound_to_page": marked("Sound to page"),
    "strum_it": marked("Strum it"),
    "write_it_down": marked("Write it down"),
}
DRILLS_IN_FULL: dict[str, str] = {
    "page_to_sound": marked("Page to sound: see it, choose the sound"),
    "sound_to_page": marked("Sound to page: hear it, choose the page"),
    "strum_it": marked("Strum it: play the page"),
    "write_it_down": marked("Write it down: hear it, fill the slots"),
}
VOICES: dict[str, str] = {"steel": marked("Steel strings"), "nylon": marked("Nylon strings")}
HANDS: dict[str, str] = {"right": marked("Right hand strums"), "left": marked("Left hand strums")}
LAYERS: dict[str, str] = {
    "letters": marked("Letters: D, U, X and dashes"),
    "arrows": marked("Arrows"),
    "counts": marked("Counts under the strokes"),
    "staff": marked("Rhythm staff"),
    "bows": marked("Bow marks"),
}
THEMES: dict[str, str] = {"paper": marked("Paper"), "night": marked("Night")}
KEYS: dict[str, str] = {
    "down": marked("Down"),
    "up": marked("Up"),
    "mute": marked("Mute (held)"),
    "accent": marked("Accent (held)"),
}


def captions(table: Mapping[str, str]) -> dict[str, str]:
    """A table of names in the language in use."""
    return {value: _(name) for value, name in table.items()}


def drill_name(drill: str) -> str:
    """A drill's name; itself where it is none of today's."""
    return _(DRILLS[drill]) if drill in DRILLS else drill


def minutes(count: int) -> str:
    """How long a drill is: ``8 minutes``."""
    return ngettext("%(count)d minute", "%(count)d minutes", count) % {"count": count}


def volume(share: float) -> str:
    """How loud: ``3 of 10``."""
    return _("%(number)d of 10") % {"number": round(share * 10)}


def pace(share: float) -> str:
    """A tempo against the one written."""
    percent = round(abs(share - 1) * 100)
    if abs(share - 1) < 0.001:
        return _("as written")
    return (_("%(percent)d %% faster") if share > 1 else _("%(percent)d %% slower")) % {"percent": percent}


def text_size(share: float) -> str:
    """A size against the usual one."""
    percent = round(abs(share - 1) * 100)
    if abs(share - 1) < 0.001:
        return _("usual")
    return (_("%(percent)d %% larger") if share > 1 else _("%(percent)d %% smaller")) % {"percent": percent}


def latency(seconds: float | None) -> str:
    """The latency that is kept for the device, None where nothing is."""
    if seconds is None:
        return _("Latency: not tapped yet")
    return _("Latency: %(ms)d ms") % {"ms": round(1000 * seconds)}


def about(version: str, folder: object) -> str:
    """Which drillapp this is, and where it keeps what."""
    return _("drillapp %(version)s. The practice log is in %(folder)s.") % {
        "version": version,
        "folder": folder,
    }
