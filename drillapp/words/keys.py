"""The keys that strum: which are in use, and why a key cannot have an act."""

from __future__ import annotations

from .language import _, marked

TAKEN, SPOKEN_FOR, UNUSABLE = "taken", "spoken for", "unusable"
#: what other keys do on Strum it
SPOKEN: dict[str, str] = {
    "enter": marked("%(key)s begins the count-in; choose another key."),
    "escape": marked("%(key)s leaves the drill; choose another key."),
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
