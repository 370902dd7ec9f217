"""Rows beneath a page stand on its columns: what sounds together stands together.

Source: Gould 2011, from memory.
"""

from __future__ import annotations

import pytest

from drillapp.music import parse
from drillapp.notation import Glyph, Line, Text
from drillapp.notation.beneath import DOWN, EMPTY, RINGS, SILENT, UP, Mark, Row, beneath, mark_items, room
from drillapp.notation.engraver import Plan

PAGE = parse("D- DU -U DU | D- D. DX D-")
LAYERS = ("letters", "counts", "staff")


def set_with(*rows: Row, bars_per_line: int | None = None):
    page = Plan.of(PAGE, LAYERS, beneath=room(rows)).page(bars_per_line=bars_per_line)
    return page, beneath(page, rows)


def every(sign: str, **given) -> Row:
    return Row("Yours", tuple(Mark(slot, sign, **given) for slot in range(16)), timed=sign in (DOWN, UP))


def middles(items, kind, name: str = "") -> list[float]:
    wanted = [
        one for one in items if isinstance(one, kind) and (not name or getattr(one, "name", "") == name)
    ]
    return [(one.box[0] + one.box[2]) / 2 for one in wanted]


@pytest.mark.parametrize(
    ("sign", "glyph"), [(DOWN, "arrowBlackDown"), (UP, "arrowBlackUp"), (SILENT, "rest8th")]
)
def test_a_mark_in_time_stands_under_its_slot(sign: str, glyph: str) -> None:
    page, items = set_with(every(sign))
    assert middles(items, Glyph, glyph) == pytest.approx([slot.x for slot in page.slots])


def test_a_share_of_the_way_is_a_share_of_the_distance() -> None:
    row = Row("", (Mark(2, DOWN, 0.25), Mark(2, UP, -0.5)), timed=True)
    page, items = set_with(row)
    one, two, three = (page.slots[index].x for index in (1, 2, 3))
    assert middles(items, Glyph, "arrowBlackDown") == pytest.approx([two + (three - two) / 4])
    assert middles(items, Glyph, "arrowBlackUp") == pytest.approx([two - (two - one) / 2])


def test_silent_ringing_and_empty_are_three_signs() -> None:
    shapes = []
    for sign in (RINGS, SILENT, EMPTY):
        _, items = set_with(Row("", (Mark(3, sign),)))
        shapes.append([(type(one).__name__, getattr(one, "name", getattr(one, "text", ""))) for one in items])
    assert shapes[0] == [("Text", "–")]
    assert shapes[1] == [("Glyph", "rest8th")]
    assert {kind for kind, _ in shapes[2]} == {"Line"}


@pytest.mark.parametrize("bars_per_line", [1, 2])
def test_rows_stand_between_the_lines_of_the_page_and_not_on_them(bars_per_line: int) -> None:
    page, items = set_with(every(DOWN, accent=True), every(RINGS), bars_per_line=bars_per_line)
    assert len(page.systems) == 2 // bars_per_line
    for item in items:
        _, bottom, _, top = item.box
        assert bottom >= -1e-9
        assert not any(top > system.bottom + 1e-9 and bottom < system.top for system in page.systems)


def test_rows_do_not_stand_on_one_another() -> None:
    page, first = set_with(every(UP, accent=True), every(RINGS))
    low = min(one.box[1] for one in beneath(page, (every(UP, accent=True),)))
    rest = [one for one in first if one.box[3] < low]
    assert [one.text for one in rest if isinstance(one, Text)].count("–") == 16


def test_what_is_wrong_is_painted_as_a_place_pointed_at() -> None:
    _, items = set_with(Row("", (Mark(0, "D"), Mark(1, "U", wrong=True))))
    assert [(one.text, one.role) for one in items if isinstance(one, Text)] == [("D", "ink"), ("U", "mark")]


def test_a_muted_stroke_is_crossed() -> None:
    _, items = set_with(Row("", (Mark(0, DOWN, muted=True),), timed=True))
    assert middles(items, Glyph, "noteheadSlashX")


def test_one_more_mark_stands_where_its_row_would_have_it() -> None:
    row = Row("", (), timed=True)
    page, _ = set_with(row)
    mark = Mark(9, DOWN, 0.2)
    whole = beneath(page, (Row("", (mark,), timed=True),))
    assert set(mark_items(page, row, mark)) <= set(whole)
    assert any(isinstance(one, Line) for one in mark_items(page, row, mark))
