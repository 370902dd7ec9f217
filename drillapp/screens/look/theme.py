"""Colours, type sizes and the contrast rule. Pure: no Kivy, so that tests read it without a window.

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

TEXT_PAIRS: tuple[tuple[str, str], ...] = (
    ("ink", "ground"),
    ("ink", "page"),
    ("second", "ground"),
    ("second", "page"),
    ("action", "ground"),
    ("action", "page"),
    ("mark", "ground"),
    ("mark", "page"),
    ("over_action", "action"),
)
"""Every (text, ground) pair of roles that a screen sets text in."""

SHAPE_PAIRS: tuple[tuple[str, str], ...] = (
    ("action", "ground"),
    ("action", "page"),
    ("mark", "ground"),
    ("mark", "page"),
    ("second", "ground"),
    ("second", "page"),
)
"""Every (shape, ground) pair of roles in which a line, an outline or a filled bar carries meaning."""

SMALLEST_TARGET = 48
"""dp: the shorter side of the smallest thing to touch."""

TYPE_SIZES: dict[str, float] = {"title": 34, "heading": 24, "body": 20, "small": 17}
"""Type sizes in the app's unit (a dp where the window's shorter side is 800 dp)."""


def luminance(colour: str) -> float:
    """Relative luminance from 0 to 1 of an sRGB hex colour (WCAG 2.2, "relative luminance")."""
    channels = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio from 1 to 21 of two sRGB hex colours (WCAG 2.2, "contrast ratio").

    >>> round(contrast("#000000", "#FFFFFF"), 1)
    21.0
    """
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)
