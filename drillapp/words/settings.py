"""Settings in words: what each choice is called, and how much a number is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from drillapp.drills.kinds import KINDS, Kind

from .language import _, marked, ngettext

#: what the rows of the kinds of question say, marked for the catalogs: each by its title, and in full
KIND_WORDS = frozenset(
    {
        marked("Page to sound"),
        marked("Sound to page"),
        marked("Strum it"),
        marked("Write it down"),
        marked("Page to sound: see it, choose the sound"),
        marked("Sound to page: hear it, choose the page"),
        marked("Strum it: play the page"),
        marked("Write it down: hear it, fill the slots"),
    }
)
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
SECTIONS: dict[str, str] = {
    "drill": marked("The drill"),
    "page": marked("The page"),
    "sound": marked("Sound"),
    "strum": marked("Strum it"),
    "looks": marked("Colours and size"),
    "care": marked("Ears, hands, about"),
}
KEYS: dict[str, str] = {
    "down": marked("Down"),
    "up": marked("Up"),
    "mute": marked("Mute (held)"),
    "accent": marked("Accent (held)"),
}


def captions(table: Mapping[str, str]) -> dict[str, str]:
    """A table of names in the language in use."""
    return {value: _(name) for value, name in table.items()}


def kind_name(kind: Kind[Any, Any]) -> str:
    """What a kind of question is called."""
    return _(kind.title)


def kinds_in_full() -> dict[str, str]:
    """Every kind of question by its name: what it is called and what one does."""
    return {name: _(in_full(kind)) for name, kind in KINDS.items()}


def in_full(kind: Kind[Any, Any]) -> str:
    """The message about a kind, as the catalogs have it."""
    return f"{kind.title}: {kind.about}"


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
