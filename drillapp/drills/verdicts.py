"""Verdicts: what can be said of one slot of a strummed page."""

from __future__ import annotations

from drillapp.music import FEATURE_TABLE, LAYERS

STROKE_LAYERS = tuple(layer for layer in LAYERS if layer in FEATURE_TABLE["beat"].layers)

EARLY, LATE, LEFT_OUT, EXTRA = "early", "late", "left out", "extra"
WRONG_HAND = "wrong hand"
MUTE_MISSED, MUTE_ADDED = "mute missed", "mute added"
ACCENT_MISSED, ACCENT_ADDED = "accent missed", "accent added"
#: every verdict on a slot, in the order in which they are said; a slot without one is on time and as written
VERDICTS: tuple[str, ...] = (
    EARLY,
    LATE,
    LEFT_OUT,
    EXTRA,
    WRONG_HAND,
    MUTE_MISSED,
    MUTE_ADDED,
    ACCENT_MISSED,
    ACCENT_ADDED,
)

TIMING = frozenset({EARLY, LATE})  # verdicts on timing; all others are on reading
