"""Filling slots on a ruler: taps, divisions and bars. What the signs mean is common practice, no source."""

from __future__ import annotations

import pytest

from drillapp.music import RING, Pattern, parse
from drillapp.music.ruler import divided, filled, lengthened, sheet_of, shortened, tapped, turned
from drillapp.music.slot_sheet import CYCLE, Sheet


def empty(text: str = "D- DU -U DU", meter: str = "4/4") -> Sheet:
    ruler = parse(text, meter)
    return Sheet(ruler, (None,) * len(ruler.places))


def test_taps_on_an_empty_slot_go_through_every_way_and_end_empty() -> None:
    sheet, ways = empty(), []
    for _ in range(len(CYCLE) + 1):
        sheet = sheet.tapped(2)
        ways.append(sheet.way(2))
    assert ways == ["struck", "muted", "accented", "tied on", "silent", None]


def test_a_stroke_is_put_in_the_direction_in_which_the_hand_travels() -> None:
    sheet = empty()
    for index in (0, 1):
        sheet = sheet.filled(index, "struck")
    assert [slot.hand for slot in sheet.slots[:2] if slot] == ["down", "up"]
    three = empty("DUD D D D")
    assert three.filled(2, "struck").slots[2].hand == "up"
    assert three.filled(1, "struck").filled(2, "struck").slots[2].hand == "down"
    assert three.filled(1, "silent").filled(2, "struck").slots[2].hand == "up"


def test_a_sheet_is_full_when_every_slot_is_filled_and_silent_where_it_is_not() -> None:
    sheet = empty("D D D D")
    assert not sheet.full
    assert sheet.filled(0, "struck").pattern == parse("D . . .")
    for index in range(4):
        sheet = sheet.filled(index, "struck")
    assert sheet.full
    assert sheet.pattern == parse("D D D D")


def test_a_slot_says_how_it_is_filled_and_a_muted_accent_is_muted() -> None:
    sheet = sheet_of(parse("D >D X >X | - . D D"))
    assert [sheet.way(index) for index in range(6)] == [
        "struck",
        "accented",
        "muted",
        "muted",
        "silent",
        "silent",
    ]
    assert sheet_of(parse("D - D D")).way(1) == "tied on"


def test_a_stroke_can_be_turned_and_marked_and_nothing_else_can() -> None:
    sheet = empty("D D D D").filled(0, "muted").filled(1, "silent")
    assert sheet.turned(0).slots[0].hand == "up"
    assert sheet.turned(0).turned(0) == sheet
    marked = sheet.marked(0)
    assert (marked.slots[0].muted, marked.slots[0].accent) == (True, True)
    assert marked.marked(0) == sheet
    for index in (1, 2):  # silent, empty
        assert sheet.turned(index) is sheet
        assert sheet.marked(index) is sheet


def test_a_slot_can_be_emptied_and_unknown_ways_are_refused() -> None:
    assert empty().filled(0, "struck").filled(0, None) == empty()
    with pytest.raises(ValueError, match="'loud' is not a way to fill a slot; choose from struck, muted"):
        empty().filled(0, "loud")


def test_taps_on_a_written_page_begin_with_a_stroke_and_come_round() -> None:
    pattern, texts = parse("D- D D D"), []
    for _ in range(5):
        pattern = tapped(pattern, 1)
        texts.append(pattern.text)
    assert texts == ["DU D D D", "DX D D D", "D>U D D D", "D. D D D", "D- D D D"]


def test_filling_and_turning_give_the_page_anew() -> None:
    pattern = parse("D D D D")
    assert filled(pattern, 1, "tied on").text == "D - D D"
    assert turned(pattern, 1).text == "D U D D"
    assert pattern.text == "D D D D"


@pytest.mark.parametrize(
    ("text", "index", "by", "divided_text"),
    [
        # A division twice as fine keeps every slot; what has no place in a coarser one falls away.
        ("D D D D", 1, 1, "D D- D D"),
        ("D DU D D", 1, 1, "D D-U- D D"),
        ("D D-U- D D", 4, -1, "D DU D D"),
        ("D DUDU D D", 1, -1, "D DD D D"),
        ("D DUDU D D", 1, 1, "D D-- D D"),
        ("D DUD D D", 1, 1, "D D-U-D- D D"),
        ("D D D D", 0, -1, "D D D D"),
        ("DU D D D", 0, -1, "D D D D"),
        ("D DU D D", 2, -1, "D D D D"),
        ("D DUDUDU D D", 1, 1, "D DUDUDU D D"),
        ("D DU D D | D D D D", 6, 1, "D DU D D | D D- D D"),
    ],
)
def test_a_beat_divides_finer_and_coarser_in_turn(text, index, by, divided_text) -> None:
    assert divided(parse(text), index, by).text == divided_text


def test_a_compound_beat_divides_in_three_before_two() -> None:
    assert divided(parse("D D", "6/8"), 0, 1).text == "D-- D"
    assert divided(parse("DUD D", "6/8"), 0, 1).text == "D-U-D- D"
    assert divided(parse("D D", "6/8"), 1, -1).text == "D D"


def test_the_bars_around_a_divided_beat_stay() -> None:
    pattern = parse("D U | DU D | U U", "2/4")
    assert divided(pattern, 2, 1).text == "D U | D-U- D | U U"


def test_bars_are_written_again_or_taken_out() -> None:
    pattern = parse("D D | DU D | U D", "2/4")
    assert lengthened(pattern, 1).text == "D D | DU D | DU D | U D"
    assert shortened(pattern, 1).text == "D D | U D"
    assert shortened(pattern, 0).text == "DU D | U D"
    one = parse("D D", "2/4")
    assert shortened(one, 0) is one
    assert shortened(parse("D D | U D", "2/4"), 1).text == "D D"


def test_a_pattern_has_at_most_sixty_four_bars() -> None:
    full = Pattern(parse("D", "1/4").bars * 64, parse("D", "1/4").meter)
    assert lengthened(full, 0) is full
    assert len(lengthened(shortened(full, 0), 0).bars) == 64


def test_a_ring_is_what_a_new_slot_holds() -> None:
    assert divided(parse("D D D D"), 0, 1).bars[0][0][1] == RING
