"""One spacing for all layers: what happens together stands together."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest

from drillapp.music import LAYERS, SYLLABLES, parse, syllables
from drillapp.notation import Beam, Curve, Glyph, Line, Text, bracket, engrave, fit

ALL = tuple(LAYERS)
SUBSETS = [subset for size in range(1, 6) for subset in combinations(ALL, size)]


def middle(item) -> float:
    left, _, right, _ = item.box
    return (left + right) / 2


def test_letters_counts_and_heads_stand_exactly_below_one_another(generated):
    for pattern in generated(200):
        page = engrave(pattern, ALL)
        for item in page.items:
            if item.slot is None:
                continue
            column = page.slots[item.slot].x
            is_head = isinstance(item, Glyph) and item.name.startswith(
                ("notehead", "rest8", "rest1", "restQ")
            )
            if (isinstance(item, Text) and item.layer in ("letters", "counts")) or is_head:
                assert middle(item) == pytest.approx(column, abs=0.02)
            if isinstance(item, Glyph) and item.layer == "bows":
                assert middle(item) == pytest.approx(column, abs=0.02)


def test_time_runs_to_the_right(generated):
    for pattern in generated(200):
        page = engrave(pattern, ["staff", "letters"])
        assert all(a.x < b.x for a, b in pairwise(page.slots))


# Gould 2011, on rhythmic spacing: twice the time gets about one and a half times the room.
def test_a_longer_time_gets_more_room_but_less_than_in_proportion():
    page = engrave(parse("D DU DUDU D"), ["letters"])
    x = [slot.x for slot in page.slots]
    quarter, eighth, sixteenth = x[1] - x[0], x[2] - x[1], x[4] - x[3]
    assert quarter > eighth > sixteenth
    assert quarter < 2 * eighth < 4 * sixteenth
    assert quarter / eighth == pytest.approx(1.5, abs=0.1)


def test_equal_times_within_a_beat_get_equal_room(generated):
    for pattern in generated(200):
        page = engrave(pattern, ALL)
        for a, b, c in zip(pattern.places, pattern.places[1:], pattern.places[2:], strict=False):
            if (a.bar, a.beat) == (b.bar, b.beat) == (c.bar, c.beat):
                x = [page.slots[place.index].x for place in (a, b, c)]
                assert x[1] - x[0] == pytest.approx(x[2] - x[1])


@pytest.mark.parametrize("layers", SUBSETS, ids="+".join)
def test_every_choice_of_layers_shows_those_layers_and_no_others(layers):
    page = engrave(parse("D- DU -U >DX | D.DU DUD X- D-", "4/4"), layers)
    assert page.layers == layers
    assert {item.layer for item in page.items} == set(layers)
    assert set(page.systems[0].extents) == set(layers)
    assert all(item.box[1] >= -1e-9 and item.box[3] <= page.height + 0.01 for item in page.items)


def test_a_layer_s_extent_holds_what_it_shows():
    page = engrave(parse("D- DU -U >DU"), ALL)
    for layer in ALL:
        low, high = page.systems[0].extents[layer]
        for item in page.items:
            if item.layer == layer and isinstance(item, (Glyph, Text, Beam, Curve)):
                assert low - 0.05 <= item.box[1] and item.box[3] <= high + 0.05


def test_letters_are_the_pattern_s_own():
    page = engrave(parse("D- DU -U XX"), ["letters"])
    assert [item.text for item in page.items if isinstance(item, Text)] == list("D–DU–UXX")


def test_counts_are_the_syllables_and_only_beats_are_bold():
    pattern = parse("D- DUDU DUD D")
    page = engrave(pattern, ["counts"])
    texts = [item for item in page.items if isinstance(item, Text)]
    assert [text.text for text in texts] == list(syllables(pattern))
    bold = [place.number == 0 for place in pattern.places]
    assert [text.face == "semibold" for text in texts] == bold
    assert [text.role == "ink" for text in texts] == bold


@pytest.mark.parametrize("layers", [["letters"], ["arrows"], ["counts"], ["bows"], ["letters", "counts"]])
def test_without_a_staff_a_light_line_parts_the_bars(layers):
    page = engrave(parse("D D D D | D D D D"), layers)
    between = [
        item
        for item in page.items
        if isinstance(item, Line) and item.x1 == item.x2 and page.slots[3].x < item.x1 < page.slots[4].x
    ]
    assert len(between) == 1
    assert between[0].box[3] - between[0].box[1] > 1


def test_counts_can_be_left_for_the_student_to_fill_in():
    page = engrave(parse("D- DU -U DU"), ["staff", "counts"], blank_counts=True)
    assert not [item for item in page.items if isinstance(item, Text)]
    assert (
        page.systems[0].extents["counts"]
        == engrave(parse("D- DU -U DU"), ["staff", "counts"]).systems[0].extents["counts"]
    )


def test_an_arrow_points_the_way_the_hand_goes_and_a_skip_is_a_gap():
    page = engrave(parse("D- DU -U DU"), ["arrows"])
    arrows = {i.slot: i.name for i in page.items if isinstance(i, Glyph)}
    assert arrows == {
        0: "arrowBlackDown", 2: "arrowBlackDown", 3: "arrowBlackUp",
        5: "arrowBlackUp", 6: "arrowBlackDown", 7: "arrowBlackUp",
    }  # fmt: skip


def test_a_down_stroke_is_a_down_bow_and_an_up_stroke_an_up_bow():
    # MusicXML 4.0: down-bow and up-bow are also the plucked string's down- and up-stroke.
    page = engrave(parse("D- DU -U DU"), ["staff", "bows"])
    bows = [i.name for i in page.items if i.layer == "bows"]
    assert bows == [f"strings{hand}Bow" for hand in ("Down", "Down", "Up", "Up", "Down", "Up")]


def test_a_mute_against_the_hand_shows_its_direction_in_letters():
    plain, against = engrave(parse("DX D D D"), ["letters"]), engrave(parse("Dd D D D"), ["letters"])
    assert not [i for i in plain.items if isinstance(i, Glyph)]
    assert [(i.name, i.slot) for i in against.items if isinstance(i, Glyph)] == [("arrowBlackDown", 1)]


def test_without_a_staff_accents_stand_over_the_letters():
    page = engrave(parse("D >D D >D"), ["letters", "counts"])
    accents = [i for i in page.items if isinstance(i, Glyph)]
    assert [(accent.name, accent.slot) for accent in accents] == [
        ("articAccentAbove", 1),
        ("articAccentAbove", 3),
    ]
    assert min(accent.box[1] for accent in accents) > page.systems[0].extents["letters"][1]


def test_swing_is_marked_where_it_changes_what_is_played():
    swung = engrave(parse("DU DU DU DU", swing="2:1"), ["staff"])
    assert "Swing" in [i.text for i in swung.items if isinstance(i, Text)]
    assert "tuplet3" in [i.name for i in swung.items if isinstance(i, Glyph)]
    even = engrave(parse("D D D D", swing="2:1"), ["staff"])
    assert not [i for i in even.items if isinstance(i, Text)]


@pytest.mark.parametrize(
    ("meter", "text", "note", "dots"),
    [
        ("4/4", "D D D D", "metNoteQuarterUp", 0),
        ("6/8", "D D", "metNoteQuarterUp", 1),
        ("2/2", "D D", "metNoteHalfUp", 0),
    ],
)
def test_the_tempo_mark_shows_the_note_that_is_counted(meter, text, note, dots):
    page = engrave(parse(text, meter, 84), ["staff"], tempo=True)
    names = [i.name for i in page.items if isinstance(i, Glyph) and i.name.startswith("met")]
    assert names == [note] + ["metAugmentationDot"] * dots
    assert [i.text for i in page.items if isinstance(i, Text)] == ["= 84"]


@pytest.mark.parametrize("names", SYLLABLES)
def test_every_set_of_count_syllables_can_be_shown(names):
    pattern = parse("D- DUDU DUD DUDUDU")
    page = engrave(pattern, ["counts"], names=names)
    texts = [item for item in page.items if isinstance(item, Text)]
    assert [text.text for text in texts] == list(syllables(pattern, names))
    ends = [text.box[2] for text in texts]
    assert all(end < after.box[0] for end, after in zip(ends, texts[1:], strict=False))


def test_a_repeat_has_dots_on_the_inside_of_both_its_barlines():
    # Read 1979: a thick and a thin line, the dots on the side of what is repeated (from memory).
    page = engrave(parse("D- DU -U DU"), ["staff"], ending="repeat")
    dots = sorted(i.box[0] for i in page.items if isinstance(i, Glyph) and i.name == "augmentationDot")
    upright = [i for i in page.items if isinstance(i, Line) and i.x1 == i.x2 and i.slot is None]
    thick = sorted(i.x1 for i in upright if i.thickness > 0.4)
    thin = sorted(i.x1 for i in upright if i.thickness < 0.4)
    assert len(dots) == 4 and len(thick) == len(thin) == 2
    assert thick[0] < thin[0] < dots[0] < page.slots[0].x
    assert page.slots[7].x < dots[-1] < thin[1] < thick[1]


def test_steady_pages_stand_alike_with_and_without_an_accent():
    for layers in (["staff", "counts"], ["letters", "counts"], ["arrows"]):
        plain = engrave(parse("D- DU -U DU"), layers, steady=True)
        accented = engrave(parse("D- >DU -U DU"), layers, steady=True)
        assert (plain.width, plain.height) == pytest.approx((accented.width, accented.height))
        assert [slot.x for slot in plain.slots] == pytest.approx([slot.x for slot in accented.slots])


def test_sizes_go_in_steps_so_that_pages_look_alike():
    texts = ("D- DU -U DU", "DU DU DU DU", "D-DU X-DU D-DU X-DU", FOUR_BARS)
    sizes = [fit(parse(text), ["staff", "letters"], 1140, 400)[1] for text in texts]
    assert all(size % 0.5 == pytest.approx(0) for size in sizes)


FOUR_BARS = " | ".join(["D-DU X-DU D-DU X-DU"] * 4)


def test_lines_break_at_barlines_to_fit_the_width_and_fill_it():
    page = engrave(parse(FOUR_BARS), ["staff", "counts"], width=110)
    assert [system.bars for system in page.systems] == [(0, 2), (2, 4)]
    assert page.width == pytest.approx(110, abs=0.1)
    ends = [
        max(i.box[2] for i in page.items if s.bottom <= i.box[1] and i.box[3] <= s.top) for s in page.systems
    ]
    assert ends == pytest.approx([110, 110], abs=0.1)


def test_eight_bars_break_into_lines_of_two_or_four():
    page = engrave(parse(" | ".join(["D- DU -U DU"] * 8)), ["staff", "counts"], width=108)
    assert [last - first for first, last in (system.bars for system in page.systems)] == [2, 2, 2, 2]


def test_a_line_holds_at_most_the_bars_asked_for():
    page = engrave(parse(FOUR_BARS), ["letters"], bars_per_line=3)
    assert [system.bars for system in page.systems] == [(0, 2), (2, 4)]
    assert len(engrave(parse(FOUR_BARS), ["letters"], bars_per_line=1).systems) == 4


def test_the_time_signature_stands_on_the_first_line_only_and_the_final_barline_on_the_last():
    page = engrave(parse(FOUR_BARS), ["staff"], bars_per_line=2)
    signature = [i for i in page.items if isinstance(i, Glyph) and i.name.startswith("timeSig")]
    assert all(i.box[1] >= page.systems[0].bottom for i in signature) and len(signature) == 2
    thick = [i for i in page.items if isinstance(i, Line) and i.x1 == i.x2 and i.thickness > 0.4]
    assert len(thick) == 1 and thick[0].box[3] <= page.systems[1].top


def test_every_line_but_the_first_begins_with_its_bar_number():
    page = engrave(parse(FOUR_BARS), ["staff"], bars_per_line=1)
    numbers = [item for item in page.items if isinstance(item, Text)]
    assert [number.text for number in numbers] == ["2", "3", "4"]
    assert all(number.role == "second" and number.left == 0 for number in numbers)


def test_a_tie_over_a_line_s_end_is_drawn_on_both_lines():
    page = engrave(parse("D D D D | - D D D"), ["staff"], bars_per_line=1)
    ties = [i for i in page.items if isinstance(i, Curve)]
    assert len(ties) == 2
    assert ties[0].y > ties[1].y
    assert ties[0].x1 > page.slots[3].x and ties[1].x2 < page.slots[4].x


def test_systems_do_not_overlap(generated):
    for pattern in generated(120):
        page = engrave(pattern, ALL, bars_per_line=1)
        assert all(upper.bottom > lower.top for upper, lower in pairwise(page.systems))


def test_a_bracket_stands_under_the_counts_of_its_slots():
    page = engrave(parse("D- DU -U DU"), ["staff", "letters", "counts"])
    lines = bracket(page, [4])
    low, _ = page.systems[0].extents["counts"]
    assert all(line.box[3] <= low - 0.05 and line.box[1] >= -1e-9 for line in lines)
    left, right = min(line.box[0] for line in lines), max(line.box[2] for line in lines)
    assert (left + right) / 2 == pytest.approx(page.slots[4].x, abs=0.01)
    assert page.slots[3].x < left < right < page.slots[5].x
    assert {line.role for line in lines} == {"mark"}


def test_neighbouring_slots_share_a_bracket():
    page = engrave(parse("D- DU -U DU"), ["counts"])
    assert len(bracket(page, [4, 5])) == 3
    assert len(bracket(page, [2, 5])) == 6


@pytest.mark.parametrize("room", [(1140, 360), (700, 360), (360, 640), (1800, 500)])
def test_a_page_is_set_as_large_as_its_room_allows(room):
    width, height = room
    for text in ("D- DU -U DU", FOUR_BARS):
        page, space = fit(parse(text), ["staff", "letters", "counts"], width, height)
        assert page.width * space <= width + 0.5 and page.height * space <= height + 0.5
        assert page.width * space > 0.9 * width or page.height * space > 0.9 * height


def test_a_page_is_no_larger_than_asked():
    _, space = fit(parse("D D D D"), ["staff"], 2000, 2000, largest=24)
    assert space == 24


@pytest.mark.parametrize("layers", [(), ("tab",), ("staff", "chords"), "notes"])
def test_a_layer_that_does_not_exist_is_refused_with_those_that_do(layers):
    with pytest.raises(ValueError, match="letters, arrows, counts, staff, bows"):
        engrave(parse("D D D D"), layers)


def test_options_out_of_range_are_refused():
    pattern = parse("D D D D")
    with pytest.raises(ValueError, match="final, single, repeat"):
        engrave(pattern, ["staff"], ending="da capo")
    with pytest.raises(ValueError, match="positive"):
        engrave(pattern, ["staff"], width=0)
    with pytest.raises(ValueError, match="positive"):
        fit(pattern, ["staff"], 0, 100)
    with pytest.raises(ValueError, match="syllables"):
        engrave(pattern, ["counts"], names="la la")
