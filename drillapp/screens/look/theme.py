"""Colours and type sizes. Pure: no Kivy, so that tests read it without a window.

Colours are sRGB hex strings. Text must reach a contrast of 4.5:1 against its ground, controls and signs 3:1
(W3C, Web Content Accessibility Guidelines 2.2, criteria 1.4.3 and 1.4.11). ``rule`` is for hairlines that
carry no meaning of their own. Chart colours: Okabe and Ito, Color Universal Design, 2008.
"""

from __future__ import annotations

from dataclasses import dataclass, fields


@dataclass(frozen=True)
class Palette:
    """The colours of one theme by their role."""

    ground: str
    page: str
    ink: str
    second: str
    action: str
    over_action: str
    mark: str
    rule: str

    @property
    def roles(self) -> tuple[str, ...]:
        return tuple(field.name for field in fields(self))


PAPER = Palette(
    ground="#F6F1E7",
    page="#FFFDF8",
    ink="#1F1B16",
    second="#6B6257",
    action="#005F87",
    over_action="#FFFFFF",
    mark="#B34700",
    rule="#D8D0BF",
)
NIGHT = Palette(
    ground="#1B1A18",
    page="#24221F",
    ink="#EFE9DD",
    second="#ADA397",
    action="#6FBBE0",
    over_action="#0E2430",
    mark="#F0954A",
    rule="#4A463F",
)
THEMES: dict[str, Palette] = {"paper": PAPER, "night": NIGHT}

SMALLEST_TARGET = 48
"""dp: the shorter side of the smallest thing to touch."""

TYPE_SIZES: dict[str, float] = {"title": 34, "heading": 24, "body": 20, "small": 17}
"""Type sizes in the app's unit (a dp where the window's shorter side is 800 dp)."""
