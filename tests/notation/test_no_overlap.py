"""No two signs overlap that must not, by their boxes in the SMuFL metadata."""

from __future__ import annotations

from itertools import combinations

from drillapp.music import LAYERS
from drillapp.notation import Beam, Curve, Glyph, Line, Text, engrave

SUBSETS = [subset for size in range(1, 6) for subset in combinations(LAYERS, size)]
TOLERANCE = 0.02


def is_drawn_through(item) -> bool:
    """The staff line, the ruler and its ticks: signs stand on them."""
    return isinstance(item, Line) and item.slot is None and item.y1 == item.y2


def may_touch(a, b) -> bool:
    """Signs that are joined, or drawn through one another, by the rules of notation."""
    if {type(a), type(b)} <= {Line, Beam}:
        return True  # stems under beams, ticks on rulers, brackets with their hooks
    if isinstance(a, Curve) or isinstance(b, Curve):
        other = b if isinstance(a, Curve) else a
        return isinstance(other, (Line, Beam))  # a tie crosses barlines and passes under stems
    if a.slot is not None and a.slot == b.slot:
        names = {getattr(a, "name", ""), getattr(b, "name", "")}
        joined = {"flag8thUp", "flag16thUp", "flag32ndUp"}
        if isinstance(a, (Line, Beam)) or isinstance(b, (Line, Beam)):
            return True  # a note's own stem and beam
        if names & joined and any(name.startswith("notehead") for name in names):
            return True  # boxes meet at the stem that joins them
    if (
        a.slot is None
        and b.slot is None
        and "noteheadBlack" in (getattr(a, "name", ""), getattr(b, "name", ""))
    ):
        return isinstance(a, (Line, Beam)) or isinstance(b, (Line, Beam))  # small notes of the swing mark
    digits = [getattr(item, "name", "").startswith("timeSig") for item in (a, b)]
    return all(digits)  # numerator and denominator meet on the line


def overlaps(page) -> list[tuple]:
    items = sorted((i for i in page.items if not is_drawn_through(i)), key=lambda item: item.box[0])
    boxes = [item.box for item in items]
    found = []
    for index, (item, box) in enumerate(zip(items, boxes, strict=True)):
        for other, other_box in zip(items[index + 1 :], boxes[index + 1 :], strict=True):
            if other_box[0] >= box[2] - TOLERANCE:
                break
            if (
                other_box[1] < box[3] - TOLERANCE
                and box[1] < other_box[3] - TOLERANCE
                and not may_touch(item, other)
            ):
                found.append((item, other))
    return found


def test_the_check_sees_an_overlap():
    from drillapp.music import parse

    page = engrave(parse("D D D D"), ["staff"])
    head = next(item for item in page.items if isinstance(item, Glyph) and item.slot == 1)
    assert overlaps(page) == []
    assert overlaps(page.with_items([Text("D", head.x + 1, head.y, 2.0, slot=2, layer="letters")]))


def test_no_signs_overlap_on_two_thousand_patterns(generated):
    for number, pattern in enumerate(generated(2000)):
        layers = SUBSETS[number % len(SUBSETS)]
        found = overlaps(engrave(pattern, layers, tempo=number % 5 == 0))
        assert not found, (pattern.text, pattern.meter.text, layers, found[0])


def test_no_signs_overlap_at_any_choice_of_layers(generated):
    for pattern in generated(60):
        for layers in SUBSETS:
            found = overlaps(engrave(pattern, layers))
            assert not found, (pattern.text, pattern.meter.text, layers, found[0])


def test_no_signs_overlap_when_lines_are_squeezed(generated):
    for pattern in generated(200):
        page = engrave(pattern, LAYERS, width=46)
        assert not overlaps(page), (pattern.text, pattern.meter.text, overlaps(page)[0])
