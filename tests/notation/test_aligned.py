"""Pages at one scale, what sounds together one under the other."""

from __future__ import annotations

import pytest

from drillapp.drills.lessons import LESSONS
from drillapp.music import LAYERS, parse
from drillapp.notation import engrave
from drillapp.notation.aligned import fit_aligned

PAIRS = [(one.shown, one.plain) for one in LESSONS.values()]


@pytest.mark.parametrize("pair", PAIRS, ids=LESSONS)
@pytest.mark.parametrize("layers", [LAYERS, ("letters",), ("counts", "staff")], ids="+".join)
def test_what_sounds_together_stands_together(pair, layers) -> None:
    pages, space = fit_aligned(pair, layers, 760, 260, largest=21)
    places = [
        {place.at: page.slots[place.index].x for place in pattern.places}
        for pattern, page in zip(pair, pages, strict=True)
    ]
    shared = set(places[0]) & set(places[1])
    assert shared
    assert all(places[0][at] == pytest.approx(places[1][at]) for at in shared)
    for page in pages:
        assert page.width == pages[0].width
        assert page.width * space <= 760 and page.height * space <= 260 + 1e-6
        xs = [slot.x for slot in page.slots]
        assert xs == sorted(xs) and all(item.box[2] <= page.width + 1e-6 for item in page.items)


def test_nothing_stands_nearer_than_on_a_page_alone() -> None:
    pair = parse("D DUD D D"), parse("D DU D D")
    pages, _ = fit_aligned(pair, LAYERS, 300, 200, largest=30)
    for pattern, page in zip(pair, pages, strict=True):
        alone = engrave(pattern, LAYERS, width=1)  # squeezed as far as it goes
        gaps = [b.x - a.x for a, b in zip(page.slots, page.slots[1:], strict=False)]
        least = [b.x - a.x for a, b in zip(alone.slots, alone.slots[1:], strict=False)]
        assert all(gap >= need - 1e-9 for gap, need in zip(gaps, least, strict=True))


def test_the_pages_fill_a_wide_place() -> None:
    pages, space = fit_aligned(PAIRS[0], ("letters", "counts", "staff"), 700, 400, largest=18)
    assert space == 18
    assert pages[0].width * space > 0.9 * 700


def test_several_bars_stay_under_one_another() -> None:
    pair = parse("D D D D | D DU D DU"), parse("D - D - | D D D D")
    pages, _ = fit_aligned(pair, ("letters", "counts", "staff"), 1200, 300, largest=18)
    first = {place.at: pages[0].slots[place.index].x for place in pair[0].places}
    second = {place.at: pages[1].slots[place.index].x for place in pair[1].places}
    assert all(first[at] == pytest.approx(second[at]) for at in second)
    assert list(first.values()) == sorted(first.values())


def test_pages_need_a_pattern_and_room() -> None:
    with pytest.raises(ValueError, match="positive"):
        fit_aligned((), LAYERS, 100, 100, largest=20)
    with pytest.raises(ValueError, match="positive"):
        fit_aligned(PAIRS[0], LAYERS, 0, 100, largest=20)
