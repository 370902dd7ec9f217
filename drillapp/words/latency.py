"""How late strokes come in, in words: what taps showed, what is kept, what no longer fits."""

from __future__ import annotations

from datetime import date

from drillapp.sound import Calibration
from drillapp.sound.latency import FAR_OFF, FEWEST, NEAR, TOO_FEW, UNEVEN

from .language import _, marked, ngettext
from .standing import long_day

REFUSALS: dict[str, str] = {  # but for TOO_FEW, which has a plural
    UNEVEN: marked(
        "The taps do not agree: they differ by about %(spread)d ms, and %(near)d%% of them lie within "
        "%(within)d ms of their middle. Tap once more, as evenly as you can."
    ),
    FAR_OFF: marked("The taps are %(latency)d ms off, more than any usual device; tap with each click."),
}


def tapped(found: Calibration) -> str:
    """What taps showed, or why they showed nothing.

    >>> tapped(Calibration(0.142, 0.011, 12))
    'Your taps come 142 ms after the click is handed to the player; spread 11 ms.'
    """
    if found.refusal == TOO_FEW:
        return ngettext(
            "Only %(count)d tap was near a click; tap along with at least %(fewest)d.",
            "Only %(count)d taps were near a click; tap along with at least %(fewest)d.",
            found.taps,
        ) % {"count": found.taps, "fewest": FEWEST}
    numbers = {
        "latency": round(1000 * abs(found.latency)),
        "spread": round(1000 * found.spread),
        "near": round(100 * found.near),
        "within": round(1000 * NEAR),
    }
    if found.refusal:
        return _(REFUSALS[found.refusal]) % numbers
    if found.latency < 0:
        return (
            _("Your taps come %(latency)d ms before the click is handed to the player; spread %(spread)d ms.")
            % numbers
        )
    return (
        _("Your taps come %(latency)d ms after the click is handed to the player; spread %(spread)d ms.")
        % numbers
    )


def kept(found: Calibration | None, day: date, has_sound: bool) -> str:
    """What is kept for the device, and since when; None where nothing is."""
    if not has_sound:
        return _("There is no sound to tap along with.")
    if found is None:
        return _("Nothing is kept for this yet: Strum it goes by what the player says of itself.")
    return _("Kept: %(latency)d ms, spread %(spread)d ms, tapped on %(day)s.") % {
        "latency": round(1000 * found.latency),
        "spread": round(1000 * found.spread),
        "day": long_day(day),
    }


def kept_now() -> str:
    """Said when an estimate has been kept."""
    return _("Kept. Strum it counts from it; tap again when you change headphones or loudspeaker.")


def disturbed() -> str:
    """Why taps that something came in the way of do not count."""
    return _("The window changed while you tapped, so these taps do not count. Tap again.")


def taps_so_far(taps: int) -> str:
    """What stands on the field while it is tapped."""
    if not taps:
        return _("Tap here")
    return ngettext("%(count)d tap", "%(count)d taps", taps) % {"count": taps}


def looks_wrong(known: bool) -> str:
    """Said once where takes show that the latency does not fit; ``known``: one was tapped for this device."""
    if known:
        return _(
            "In your last takes every stroke was off by about as much, to the same side: the latency kept "
            "for this device no longer fits. Tap it again in Settings, under Latency."
        )
    return _(
        "In your last takes every stroke was off by about as much, to the same side. That is likely the "
        "sound's latency and no mistake of yours; tap it once in Settings, under Latency."
    )
