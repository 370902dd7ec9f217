"""A sign cut out of its page: what one layer has at the places where a feature stands.

Units: staff spaces; what is cut out has its lower left corner at the origin.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from drillapp.music import FEATURE_TABLE, Pattern
from drillapp.notation.display import Beam, Curve, DisplayList, Glyph, Item, Line, Text
from drillapp.notation.engraver import engrave

_WHOLE_BEAT = frozenset({"sixteenth", "triplet", "compound"})
"""Features whose sign is seen only in a beat as a whole."""


def sign_parts(
    pattern: Pattern, feature: str, slots: Iterable[int], layer: str, names: str = "1 + 2 +"
) -> DisplayList | None:
    """The sign of ``feature`` at the first of ``slots`` as ``layer`` draws it.

    None where the layer does not show this feature, or shows it by leaving its place empty.
    """
    if layer not in FEATURE_TABLE[feature].layers:
        return None
    page = engrave(pattern, [layer], names=names)
    if feature == "meter":
        items = [item for item in page.items if _of_meter(item, layer)]
    elif feature == "swing":
        top = max(high for _, high in (system.extents[layer] for system in page.systems))
        items = [item for item in page.items if item.slot is None and item.box[1] > top]
    else:
        wanted = _wanted(pattern, feature, min(slots))
        items = [item for item in page.items if item.slot in wanted and not _is_tick(item, layer)]
        if feature not in _WHOLE_BEAT:  # a beam would lead out of the picture
            items = [item for item in items if not isinstance(item, Beam)]
    return cropped(items) if items else None


def cropped(items: Iterable[Item]) -> DisplayList:
    """Items as a page of their own that is no larger than they are. Raises ValueError for no item."""
    kept = tuple(items)
    left = min(item.box[0] for item in kept)
    bottom = min(item.box[1] for item in kept)
    right = max(item.box[2] for item in kept)
    top = max(item.box[3] for item in kept)
    moved = tuple(_moved(item, -left, -bottom) for item in kept)
    return DisplayList(moved, right - left, top - bottom, (), (), ())


def _wanted(pattern: Pattern, feature: str, slot: int) -> set[int]:
    place = pattern.places[slot]
    if feature in _WHOLE_BEAT:
        return {other.index for other in pattern.places if (other.bar, other.beat) == (place.bar, place.beat)}
    return {slot - 1, slot} if feature == "tie" else {slot}  # a tie is a curve between two notes


def _of_meter(item: Item, layer: str) -> bool:
    if layer == "counts":
        return isinstance(item, Text)
    return isinstance(item, Glyph) and item.name.startswith("timeSig")


def _is_tick(item: Item, layer: str) -> bool:
    return layer != "staff" and isinstance(item, Line)


def _moved(item: Item, dx: float, dy: float) -> Item:
    """The item elsewhere; it belongs to no slot any more, since what is cut out has none."""
    if isinstance(item, Line):
        x1, y1, x2, y2 = item.x1 + dx, item.y1 + dy, item.x2 + dx, item.y2 + dy
        return replace(item, x1=x1, y1=y1, x2=x2, y2=y2, slot=None)
    if isinstance(item, (Beam, Curve)):
        return replace(item, x1=item.x1 + dx, x2=item.x2 + dx, y=item.y + dy, slot=None)
    return replace(item, x=item.x + dx, y=item.y + dy, slot=None)
