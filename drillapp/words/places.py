"""Where a slot is, in words."""

from __future__ import annotations

from drillapp.music import Pattern, syllables

from .language import _


def place_name(pattern: Pattern, index: int) -> str:
    """Where a slot is: ``3``, ``the + of 2``, ``the e of 1 in bar 2``.

    >>> from drillapp.music import parse
    >>> place_name(parse("D- DU -U DU"), 3)
    'the + of 2'
    """
    place = pattern.places[index]
    said = syllables(pattern)
    name, beat, bar = said[index], place.beat + 1, place.bar + 1
    several = len(pattern.bars) > 1
    if pattern.meter.is_additive and pattern.meter.denominator >= 8:
        if name.isdigit():
            words = (
                _("%(count)s of beat %(beat)d in bar %(bar)d") if several else _("%(count)s of beat %(beat)d")
            )
        else:
            words = (
                _("the %(count)s of beat %(beat)d in bar %(bar)d")
                if several
                else _("the %(count)s of beat %(beat)d")
            )
        return words % {"count": name, "beat": beat, "bar": bar}
    if place.number and not name.isdigit():
        words = _("the %(count)s of %(beat)s in bar %(bar)d") if several else _("the %(count)s of %(beat)s")
        return words % {"count": name, "beat": said[index - place.number], "bar": bar}
    return _("%(count)s in bar %(bar)d") % {"count": name, "bar": bar} if several else name
