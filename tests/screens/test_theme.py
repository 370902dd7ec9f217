"""Colours of the themes and their contrast.

Sources: W3C, Web Content Accessibility Guidelines (WCAG) 2.2, 2023, for contrast; the palette of
the design for what colour has which role.
"""

from __future__ import annotations

import colorsys
import re

import pytest
from window import ROOT

from drillapp.music import LAYERS, parse
from drillapp.notation import engrave
from drillapp.notation.beneath import Mark, Row, beneath
from drillapp.screens.look.theme import THEMES

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

# Ratios by WCAG's formula, as wcag-contrast-ratio 0.9 gives them; #767676 and #595959 are the greys that the
# accessibility literature quotes as the lightest ones to pass 4.5:1 and 7:1 on white.
PUBLISHED = [
    ("#000000", "#FFFFFF", 21.0000),
    ("#777777", "#FFFFFF", 4.4781),
    ("#767676", "#FFFFFF", 4.5422),
    ("#959595", "#FFFFFF", 2.9953),
    ("#949494", "#FFFFFF", 3.0335),
    ("#595959", "#FFFFFF", 7.0047),
    ("#5A5A5A", "#FFFFFF", 6.8969),
    ("#FF0000", "#FFFFFF", 3.9985),
    ("#0000FF", "#FFFFFF", 8.5925),
    ("#00FF00", "#FFFFFF", 1.3722),
    ("#FFFF00", "#FFFFFF", 1.0738),
    ("#808080", "#000000", 5.3172),
]

# The design's palette: blue is for what can be done, the orange mark for what is to be looked at.
DESIGNED = {
    "paper": {
        "ground": "#F6F1E7",
        "page": "#FFFDF8",
        "ink": "#1F1B16",
        "second": "#6B6257",
        "action": "#005F87",
        "mark": "#B34700",
    },
    "night": {"ground": "#1B1A18", "page": "#24221F", "ink": "#EFE9DD"},
}


def hue(colour: str) -> float:
    """Degrees round the colour circle: orange about 25, blue about 200 (Python's colorsys)."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    return 360 * colorsys.rgb_to_hsv(red, green, blue)[0]


@pytest.mark.parametrize("theme", DESIGNED)
def test_each_role_has_the_colour_of_the_design(theme: str) -> None:
    palette = THEMES[theme]
    assert {role: getattr(palette, role) for role in DESIGNED[theme]} == DESIGNED[theme]


@pytest.mark.parametrize("theme", THEMES)
def test_what_can_be_done_is_blue_and_what_is_marked_is_orange_by_day_and_by_night(theme: str) -> None:
    palette = THEMES[theme]
    assert 190 <= hue(palette.action) <= 210
    assert 20 <= hue(palette.mark) <= 30


def luminance(colour: str) -> float:
    """Relative luminance from 0 to 1 of an sRGB hex colour (WCAG 2.2, "relative luminance")."""
    channels = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio from 1 to 21 of two sRGB hex colours (WCAG 2.2, "contrast ratio")."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize(("one", "other", "ratio"), PUBLISHED)
def test_contrast_is_that_of_the_published_pairs(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=5e-5)
    assert contrast(other, one) == contrast(one, other)


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("text", "ground"), TEXT_PAIRS)
def test_text_stands_out_from_its_ground_at_least_4_5_to_1(theme: str, text: str, ground: str) -> None:
    palette = THEMES[theme]
    assert contrast(getattr(palette, text), getattr(palette, ground)) >= 4.5


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("shape", "ground"), SHAPE_PAIRS)
def test_shapes_that_mean_something_stand_out_at_least_3_to_1(theme: str, shape: str, ground: str) -> None:
    palette = THEMES[theme]
    assert contrast(getattr(palette, shape), getattr(palette, ground)) >= 3


def test_every_colour_of_a_theme_but_the_hairline_is_checked() -> None:
    for palette in THEMES.values():
        checked = {role for pair in TEXT_PAIRS + SHAPE_PAIRS for role in pair}
        assert checked | {"rule"} == set(palette.roles)


def test_no_line_under_a_page_that_shows_strokes_is_a_hairline() -> None:
    page = engrave(parse("D- >XU .U DU"), LAYERS)
    rows = (Row("", (), timed=True), Row("", (Mark(0, "D"),)))
    roles = {item.role for item in beneath(page, rows)}
    assert roles and "rule" not in roles


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("ground", ["ground", "page"])
def test_a_resting_scroll_bar_stands_out_at_least_3_to_1(theme: str, ground: str) -> None:
    palette = THEMES[theme]
    shares = {
        float(share)
        for path in (ROOT / "drillapp" / "screens").rglob("*.kv")
        for share in re.findall(r"bar_inactive_color: look\.second\[:3\] \+ \[(\S+)\]", path.read_text())
    }
    assert shares
    for share in shares:
        mixed = "#" + "".join(
            f"{round(int(a, 16) * share + int(b, 16) * (1 - share)):02X}"
            for a, b in zip(_pairs(palette.second), _pairs(getattr(palette, ground)), strict=True)
        )
        assert contrast(mixed, getattr(palette, ground)) >= 3


def _pairs(colour: str) -> list[str]:
    return [colour[at : at + 2] for at in (1, 3, 5)]
