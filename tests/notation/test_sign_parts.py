"""Signs cut out of their pages, layer by layer."""

from __future__ import annotations

import pytest

from drillapp.drills.lessons import LESSONS
from drillapp.music import FEATURE_TABLE, LAYERS
from drillapp.notation import Beam, Curve, Glyph, Text
from drillapp.notation.sign_parts import cropped, sign_parts


def parts(feature: str, layer: str):
    lesson = LESSONS[feature]
    return sign_parts(lesson.shown, feature, lesson.places(LAYERS), layer)


@pytest.mark.parametrize("feature", LESSONS)
def test_every_layer_that_shows_a_sign_has_something_to_draw(feature) -> None:
    for layer in LAYERS:
        page = parts(feature, layer)
        gap = (feature, layer) == ("skip", "arrows")  # an arrow that is not there cannot be drawn
        assert (page is not None) is (layer in FEATURE_TABLE[feature].layers and not gap)
        if page is not None:
            assert page.width > 0 and page.height > 0
            assert all(item.slot is None for item in page.items)  # a page without slots has none to name
            assert min(item.box[0] for item in page.items) == pytest.approx(0)
            assert min(item.box[1] for item in page.items) == pytest.approx(0)


def glyphs(feature: str, layer: str) -> list[str]:
    return [item.name for item in parts(feature, layer).items if isinstance(item, Glyph)]


def texts(feature: str, layer: str) -> list[str]:
    return [item.text for item in parts(feature, layer).items if isinstance(item, Text)]


def test_what_is_cut_out_is_the_sign() -> None:
    # Glyph names: SMuFL 1.4.
    assert texts("mute", "letters") == ["X"]
    assert glyphs("mute", "staff") == ["noteheadSlashX"]
    assert texts("skip", "letters") == ["–"]
    assert glyphs("rest", "staff") == ["restQuarter"]
    assert glyphs("accent", "letters") == ["articAccentAbove"]
    assert "articAccentAbove" in glyphs("accent", "staff")
    assert glyphs("meter", "staff") == ["timeSig3", "timeSig4"]
    assert texts("meter", "counts") == ["1", "2", "3"]
    assert texts("sixteenth", "letters") == ["D", "U", "D", "U"]
    assert "tuplet3" in glyphs("triplet", "staff")
    assert texts("direction", "letters") == ["D"]


def test_a_tie_comes_with_the_two_notes_that_it_joins() -> None:
    found = parts("tie", "staff").items
    assert sum(isinstance(item, Curve) for item in found) == 1
    assert sum(isinstance(item, Glyph) and "Slash" in item.name for item in found) == 2


def test_sixteenths_have_two_beams() -> None:
    assert sum(isinstance(item, Beam) for item in parts("sixteenth", "staff").items) == 2


def test_nothing_cannot_be_cut_out() -> None:
    with pytest.raises(ValueError):
        cropped(())
