"""Verdicts: what can be said of one slot of a strummed page."""

from __future__ import annotations

from drillapp.music import FEATURE_TABLE, LAYERS

STROKE_LAYERS = tuple(layer for layer in LAYERS if layer in FEATURE_TABLE["beat"].layers)

EARLY, LATE, LEFT_OUT, EXTRA = "early", "late", "left out", "extra"
WRONG_HAND = "wrong hand"
MUTE_MISSED, MUTE_ADDED = "mute missed", "mute added"
ACCENT_MISSED, ACCENT_ADDED = "accent missed", "accent added"
#: every verdict on a slot, and what it says; a slot without one is on time and as written
VERDICTS: dict[str, str] = {
    EARLY: "struck before its time, by the player's own beat",
    LATE: "struck after its time, by the player's own beat",
    LEFT_OUT: "written, not struck",
    EXTRA: "struck, not written",
    WRONG_HAND: "struck in the other direction",
    MUTE_MISSED: "written muted, rang",
    MUTE_ADDED: "written ringing, was muted",
    ACCENT_MISSED: "written accented, no louder than the player's plain strokes",
    ACCENT_ADDED: "written plain, louder than the player's plain strokes",
}

TIMING = frozenset({EARLY, LATE})  # verdicts on timing; all others are on reading
