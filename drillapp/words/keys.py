"""What the keys do: one meaning a key in the whole app; which strum, and why a key cannot have an act."""

from __future__ import annotations

from collections.abc import Iterable

from .language import _, marked

#: what a key does, on whatever screen it does anything
MEANS: dict[str, str] = {
    "enter": marked("does what the filled button says"),
    "space": marked("hears it, or stops it"),
    "1": marked("takes what has this number; hears it where there is nothing to choose"),
    "a": marked("hears the sound, or the page, with this letter"),
    "f": marked("writes a down-stroke"),
    "j": marked("writes an up-stroke"),
    "x": marked("writes a muted stroke"),
    "v": marked("writes an accented stroke"),
    "i": marked("turns the stroke the other way"),
    "z": marked("takes back what was done last"),
    "h": marked("hears both, one after the other"),
    "o": marked("hears what you played or wrote"),
    "r": marked("hears it over and over, or once"),
    "k": marked("a click on every beat, or only to count in"),
    "l": marked("plays the page once, twice or four times"),
    "g": marked("plays it, or taps, once more"),
    "m": marked("another page with the same sign"),
    "e": marked("keeps the page in a list of your own"),
    "n": marked("says Not sure"),
    "s": marked("shows what the signs on this page mean, and goes back"),
    "t": marked("tries the bar by hand"),
    "p": marked("goes to Play along"),
    "q": marked("begins a Reading check"),
    "-": marked("slower"),
    "+": marked("faster"),
    "backspace": marked("empties the slot and goes back"),
    "left": marked("to the one before, or after"),
    "up": marked("further up or down the list"),
    "page up": marked("louder, softer"),
}
#: where slots are filled the signs of pattern text fill them
SLOTS: dict[str, str] = {
    "-": marked("writes that the chord rings on"),
    ".": marked("writes that it is silent"),
}
#: keys that share a line: the caption, and the key that says what they do
SHARED: dict[str, tuple[str, str]] = {
    **{str(number): ("1 \u2013 9", "1") for number in range(1, 10)},
    **dict.fromkeys("abcd", ("A \u2013 D", "a")),
    **dict.fromkeys(("left", "right"), ("\u2190 \u2192", "left")),
    **dict.fromkeys(("up", "down"), ("\u2191 \u2193", "up")),
    **dict.fromkeys(("+", "="), ("+", "+")),
    **dict.fromkeys(("page up", "page down"), (marked("Page Up, Page Down"), "page up")),
}
#: what keys do on every screen
GENERAL: tuple[tuple[str, str], ...] = (
    (marked("Tab, arrows"), marked("move between the controls")),
    (marked("Enter, Space"), marked("press the control that has a ring round it")),
    (marked("Esc"), marked("goes back")),
    (marked("Alt and a number"), marked("goes to a screen of the bar at the bottom: Today is 1")),
    (marked("? or F1"), marked("shows these keys, and goes back")),
)

TAKEN, SPOKEN_FOR, UNUSABLE = "taken", "spoken for", "unusable"
#: what other keys do on Strum it
SPOKEN: dict[str, str] = {
    "enter": marked("%(key)s begins the count-in; choose another key."),
    "escape": marked("%(key)s leaves the drill; choose another key."),
    "?": marked("%(key)s shows what the keys do; choose another key."),
    "/": marked("%(key)s shows what the keys do; choose another key."),
    "f1": marked("%(key)s shows what the keys do; choose another key."),
    "tab": marked("%(key)s moves between the controls; choose another key."),
    "n": marked("%(key)s says Not sure; choose another key."),
    "k": marked("%(key)s turns the click on and off; choose another key."),
    "s": marked("%(key)s shows what the signs mean; choose another key."),
    "l": marked("%(key)s chooses how often the page is played; choose another key."),
    "-": marked("%(key)s makes the tempo slower; choose another key."),
    "+": marked("%(key)s makes the tempo faster; choose another key."),
    "=": marked("%(key)s makes the tempo faster; choose another key."),
    "page up": marked("%(key)s makes the sound louder; choose another key."),
    "page down": marked("%(key)s makes the sound softer; choose another key."),
    "down": marked("%(key)s always strums down; choose another key."),
    "up": marked("%(key)s always strums up; choose another key."),
    "left": marked("%(key)s moves between the controls; choose another key."),
    "right": marked("%(key)s moves between the controls; choose another key."),
}
#: what a key does already that another act has
ACTS: dict[str, str] = {
    "down": marked("%(key)s strums down already; choose another key, or change that one first."),
    "up": marked("%(key)s strums up already; choose another key, or change that one first."),
    "mute": marked("%(key)s mutes while it is held already; choose another key, or change that one first."),
    "accent": marked(
        "%(key)s accents while it is held already; choose another key, or change that one first."
    ),
}


def keys_said(keys: Iterable[str], fills_slots: bool = False) -> list[tuple[str, str]]:
    """Each of a screen's keys, as written on the keyboard, with what it does; keys alike share a line."""
    lines: dict[str, str] = {}
    for key in keys:
        if fills_slots and key in SLOTS:
            lines[key] = _(SLOTS[key])
            continue
        caption, says = SHARED.get(key, (key_caption(key), key))
        lines[_(caption)] = _(MEANS[says])
    return list(lines.items())


def general_keys() -> list[tuple[str, str]]:
    """The keys of every screen."""
    return [(_(caption), _(says)) for caption, says in GENERAL]


def refused(code: str, key: str, act: str = "") -> str:
    """Why a key cannot have an act: it is unusable, spoken for, or taken by ``act``."""
    if code == UNUSABLE:
        return _("This key cannot be used here; choose another one.")
    if code == SPOKEN_FOR:
        return _(SPOKEN[key]) % {"key": key_caption(key)}
    return _(ACTS[act]) % {"key": key_caption(key)}


def keys_in_use(down: str, up: str, mute: str, accent: str) -> str:
    """The keys that strum, in one line."""
    return _("Keys: %(down)s down, %(up)s up, %(mute)s mutes, %(accent)s accents") % {
        "down": key_caption(down),
        "up": key_caption(up),
        "mute": key_caption(mute),
        "accent": key_caption(accent),
    }


def key_caption(key: str) -> str:
    """A key's name as it is written on screen.

    >>> key_caption("f"), key_caption("space"), key_caption("f5")
    ('F', 'Space', 'F5')
    """
    return key[:1].upper() + key[1:]
