"""Which keys strum: down, up, held to mute, held to accent. Pure: no Kivy.

Conventions: keys by their names in lower case ("f", "space", "shift"); codes are SDL's key codes, which say
what stands on the key, whatever is held with it. The arrows down and up always strum too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

KEY_NAMES = {
    8: "backspace", 9: "tab", 13: "enter", 271: "enter", 27: "escape", 32: "space", 273: "up", 274: "down",
    275: "right", 276: "left", 127: "delete", 269: "-", 270: "+", 278: "home", 279: "end",
}  # fmt: skip
_MORE_NAMES = {
    303: "shift", 304: "shift", 280: "page up", 281: "page down", 277: "insert", 266: "keypad .",
    267: "keypad /", 268: "keypad *", **{256 + n: f"keypad {n}" for n in range(10)},
    **{281 + n: f"f{n}" for n in range(1, 13)},
}  # fmt: skip
SPOKEN_FOR = {
    "enter": "begins the count-in", "escape": "leaves the drill", "tab": "moves between the controls",
    "n": "says Not sure", "k": "turns the click on and off", "l": "chooses how often the page is played",
    "-": "makes the tempo slower", "+": "makes the tempo faster", "=": "makes the tempo faster",
    "down": "always strums down", "up": "always strums up", "left": "moves between the controls",
    "right": "moves between the controls",
}  # fmt: skip
"""What other keys do on Strum it."""
ACTS = {
    "down": "strums down",
    "up": "strums up",
    "mute": "mutes while it is held",
    "accent": "accents while it is held",
}


@dataclass(frozen=True)
class StrumKeys:
    """The key of each act.

    >>> StrumKeys().act("j"), StrumKeys().act("q"), StrumKeys().act("down")
    ('up', None, 'down')
    """

    down: str = "f"
    up: str = "j"
    mute: str = "space"
    accent: str = "shift"

    def act(self, key: str) -> str | None:
        """What a key does: one of ACTS, None for nothing."""
        for act in ACTS:
            if key and getattr(self, act) == key:
                return act
        return key if key in ("down", "up") else None

    def assigned(self, act: str, key: str) -> StrumKeys:
        """With another key for an act. Raises ValueError, in a sentence, where the key cannot have it."""
        if not key:
            raise ValueError("This key cannot be used here; choose another one.")
        shown = key_caption(key)
        if key in SPOKEN_FOR:
            raise ValueError(f"{shown} {SPOKEN_FOR[key]}; choose another key.")
        taken = self.act(key)
        if taken not in (None, act):
            raise ValueError(
                f"{shown} {ACTS[str(taken)]} already; choose another key, or change that one first."
            )
        return replace(self, **{act: key})

    @property
    def kept(self) -> tuple[str, ...]:
        """As the setting keeps them."""
        return tuple(getattr(self, act) for act in ACTS)

    @property
    def hint(self) -> str:
        """The keys in a few words."""
        down, up, mute, accent = map(key_caption, self.kept)
        return f"Keys: {down} down, {up} up, {mute} mutes, {accent} accents"


def read_keys(kept: Sequence[str]) -> StrumKeys:
    """Keys as a setting kept them; the usual ones where they cannot be used.

    >>> read_keys(("d", "k", "space", "shift")) == StrumKeys()  # K is the click
    True
    """
    keys = StrumKeys(*(f"no {act}" for act in ACTS))
    try:
        for act, key in zip(ACTS, kept, strict=True):
            keys = keys.assigned(act, key)
    except ValueError:
        return StrumKeys()
    return keys


def key_name(code: int) -> str:
    """The name of the key with this code, empty where it has none (Ctrl, Alt and the like)."""
    known = KEY_NAMES.get(code) or _MORE_NAMES.get(code)
    return known or (chr(code).lower() if 33 <= code < 127 or 161 <= code < 256 else "")


def key_caption(key: str) -> str:
    """A key's name as it is written on screen.

    >>> key_caption("f"), key_caption("space"), key_caption("f5")
    ('F', 'Space', 'F5')
    """
    return key[:1].upper() + key[1:]
