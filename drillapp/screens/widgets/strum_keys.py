"""Which keys strum: down, up, held to mute, held to accent. Pure: no Kivy.

Conventions: keys by their names in lower case ("f", "space", "shift"); codes are SDL's key codes, which say
what stands on the key, whatever is held with it. The arrows down and up always strum too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from drillapp.words.keys import SPOKEN, SPOKEN_FOR, TAKEN, UNUSABLE, keys_in_use, refused

KEY_NAMES = {
    8: "backspace", 9: "tab", 13: "enter", 271: "enter", 27: "escape", 32: "space", 273: "up", 274: "down",
    275: "right", 276: "left", 127: "delete", 269: "-", 270: "+", 278: "home", 279: "end",
    280: "page up", 281: "page down",
}  # fmt: skip
_MORE_NAMES = {
    303: "shift", 304: "shift", 277: "insert", 266: "keypad .",
    267: "keypad /", 268: "keypad *", **{256 + n: f"keypad {n}" for n in range(10)},
    **{281 + n: f"f{n}" for n in range(1, 13)},
}  # fmt: skip
ACTS = ("down", "up", "mute", "accent")


class KeyRefused(ValueError):
    """A key that cannot have an act: ``code`` says why (a word of ``words.keys``); ``act`` has it already."""

    def __init__(self, code: str, key: str, act: str = "") -> None:
        super().__init__(refused(code, key, act))
        self.code, self.key, self.act = code, key, act


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
        """With another key for an act. Raises KeyRefused where the key cannot have it."""
        if not key:
            raise KeyRefused(UNUSABLE, key)
        if key in SPOKEN:
            raise KeyRefused(SPOKEN_FOR, key)
        taken = self.act(key)
        if taken not in (None, act):
            raise KeyRefused(TAKEN, key, str(taken))
        return replace(self, **{act: key})

    @property
    def kept(self) -> tuple[str, ...]:
        """As the setting keeps them."""
        return tuple(getattr(self, act) for act in ACTS)

    @property
    def hint(self) -> str:
        """The keys in a few words."""
        return keys_in_use(self.down, self.up, self.mute, self.accent)


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
