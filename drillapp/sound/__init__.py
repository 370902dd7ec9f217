"""What a pattern sounds like, and playing it.

``render`` turns a pattern into samples; ``open_player`` gives something that plays them.
"""

from __future__ import annotations

from drillapp.sound.chords import CHORDS
from drillapp.sound.players import Handle, Player, open_player
from drillapp.sound.rendering import count_in_samples, onset_samples, render, render_loop
from drillapp.sound.voices import VOICES

__all__ = [
    "CHORDS",
    "VOICES",
    "Handle",
    "Player",
    "count_in_samples",
    "onset_samples",
    "open_player",
    "render",
    "render_loop",
]
