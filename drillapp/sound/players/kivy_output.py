"""Playing through Kivy's own sound, for tablet builds that have neither of the other libraries.

The only file of this package that imports Kivy, and only when its output is opened. Kivy plays files, so
each sound is a temporary one.
"""

from __future__ import annotations

import tempfile
import wave
from pathlib import Path
from threading import Thread
from time import monotonic, sleep
from typing import Any

import numpy as np
from numpy.typing import NDArray

from drillapp.sound.pcm import to_16_bit
from drillapp.sound.players.facade import NoSound

LATENCY = 0.1
"""About how long in s a sound takes to start (measured with SDL2 on a PulseAudio null sink)."""
_FADE = ((0.58, 0.024), (0.3, 0.024), (0.1, 0.024), (0.03, 0.04), (0.008, 0.08), (0.0, 0.03))
# Volume, and how long it holds in s. A new volume is heard from SDL's next chunk on, 1024 samples, and a
# device may take several chunks at once: no step is shorter than one, and next to nothing lasts longest.


class _KivyHandle:
    def __init__(self, sound: Any, seconds: float, path: Path) -> None:
        self._sound, self._seconds, self._path = sound, seconds, path
        self._started = monotonic()
        self._stopped = False

    @property
    def playing(self) -> bool:
        return not self._stopped and self._sound.state == "play" and self.position != self._seconds

    @property
    def position(self) -> float | None:
        return min(max(monotonic() - self._started - LATENCY, 0.0), self._seconds)

    def turn(self, volume: float) -> None:
        if not self._stopped:
            self._sound.volume = volume

    def stop(self) -> None:
        if not self._stopped:
            self._stopped = True
            Thread(target=self._fade, daemon=True).start()

    def _fade(self) -> None:
        full = self._sound.volume
        for volume, seconds in _FADE:
            self._sound.volume = full * volume
            sleep(seconds)
        self.let_go()

    def let_go(self) -> None:
        """Stop at once and remove the file."""
        self._stopped = True
        self._sound.stop()
        self._sound.unload()
        self._path.unlink(missing_ok=True)


class KivyOutput:
    """Each sound is written to a file and loaded."""

    name = "kivy"
    latency = LATENCY
    alive = True

    def __init__(self, loader: Any) -> None:
        self._loader = loader
        self._folder = tempfile.TemporaryDirectory(prefix="drillapp-sound-", ignore_cleanup_errors=True)
        self._count = 0
        self._handles: list[_KivyHandle] = []

    def start(self, samples: NDArray[np.float32], rate: int, loop: bool, volume: float) -> _KivyHandle:
        for ended in [handle for handle in self._handles if not handle.playing]:
            ended.let_go()
            self._handles.remove(ended)
        self._count += 1
        path = Path(self._folder.name) / f"{self._count}.wav"
        with wave.open(str(path), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(rate)
            file.writeframes(to_16_bit(samples).tobytes())
        sound = self._loader.load(str(path))
        if sound is None or sound.length <= 0:
            path.unlink()
            raise NoSound("Kivy finds no sound device")
        sound.loop = loop
        sound.volume = volume
        sound.play()
        handle = _KivyHandle(sound, float("inf") if loop else len(samples) / rate, path)
        self._handles.append(handle)
        return handle

    def stream(self, samples: NDArray[np.float32], rate: int, volume: float, seconds: float) -> None:
        """None: a file is played as it is."""

    def close(self) -> None:
        for handle in self._handles:
            handle.let_go()
        self._handles = []
        self._folder.cleanup()


def open_output() -> KivyOutput:
    """Kivy's output; raises NoSound where Kivy is not installed or finds no device."""
    try:
        from kivy.core.audio import SoundLoader
    except ImportError as error:
        raise NoSound("Kivy is not installed") from error
    output = KivyOutput(SoundLoader)
    try:
        output.start(np.zeros(256, np.float32), 44100, loop=False, volume=0.0)
    except NoSound:
        output.close()
        raise
    return output
