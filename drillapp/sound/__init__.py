"""What a pattern sounds like, playing it, and writing it to files.

``render`` turns a pattern into samples; ``open_player`` gives something that plays them; ``stroke_bank``
makes the strokes of one chord and voice ready (and keeps them on disk), for ``render`` to mix from.

Floor 2.
"""

from __future__ import annotations

from drillapp.sound.audio_files import write_sound
from drillapp.sound.bank_files import bank_folder, stroke_bank
from drillapp.sound.chords import CHORDS
from drillapp.sound.export import Playing, export_deck, export_pattern, play_to_samples
from drillapp.sound.latency import Calibration, calibrate, calibration_clicks, looks_off
from drillapp.sound.players import PLAYERS, SAFE_VOLUME, Handle, Player, open_player
from drillapp.sound.rendering import count_in_samples, onset_samples, render, render_loop
from drillapp.sound.voices import VOICES

__all__ = [
    "CHORDS",
    "PLAYERS",
    "SAFE_VOLUME",
    "VOICES",
    "Calibration",
    "Handle",
    "Player",
    "Playing",
    "bank_folder",
    "calibrate",
    "calibration_clicks",
    "count_in_samples",
    "export_deck",
    "export_pattern",
    "looks_off",
    "onset_samples",
    "open_player",
    "play_to_samples",
    "render",
    "render_loop",
    "stroke_bank",
    "write_sound",
]
