"""What the learner hears: a pattern at a tempo, rendered once and kept while it may be asked for again."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock
from typing import Any

from drillapp.music import Pattern

RATE = 44100
KEPT = 8
PAUSE = 0.7
"""seconds of silence between two sounds that are heard in turn"""
ROUNDS = 8
"""how often a repeated pattern is played before it falls silent by itself"""


@dataclass(frozen=True)
class Sound:
    """A pattern as it is to be heard; ``tempo`` in beats a minute, ``count_in`` in bars of clicks."""

    pattern: Pattern
    tempo: float
    chord: str = "G"
    voice: str = "steel"
    count_in: int = 1
    repeat: bool = False


class Sounds:
    """Renders sounds and keeps the last few; may be called from the worker's thread."""

    def __init__(self) -> None:
        self._kept: OrderedDict[Sound, Any] = OrderedDict()
        self._lock = Lock()

    def samples(self, sound: Sound) -> Any:
        """The sound's samples: float32, shape (n,), at RATE."""
        with self._lock:
            if sound in self._kept:
                self._kept.move_to_end(sound)
                return self._kept[sound]
            made = _render(sound)
            self._kept[sound] = made
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
            return made

    def in_turn(self, *sounds: Sound) -> Any:
        """Several sounds after one another, a pause between them."""
        import numpy as np

        parts = []
        for sound in sounds:
            parts += [self.samples(sound), np.zeros(round(PAUSE * RATE), np.float32)]
        return np.concatenate(parts[:-1])


def _render(sound: Sound) -> Any:
    import numpy as np

    from drillapp.sound import count_in_samples, render, render_loop

    voice = sound.voice
    once = render(sound.pattern, sound.tempo, sound.chord, RATE, sound.count_in, voice=voice)
    if not sound.repeat:
        return once
    head = once[: count_in_samples(sound.pattern, sound.tempo, RATE, sound.count_in)]
    round_ = render_loop(sound.pattern, sound.tempo, sound.chord, RATE, voice=voice)
    return np.concatenate([head, np.tile(round_, ROUNDS)])
