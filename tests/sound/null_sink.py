"""A sound card that is not there: our own PulseAudio daemon with a null sink that can be recorded.

    with NullSink() as sink:
        subprocess.run([...], env=sink.environment())  # what it plays goes to the sink
        with sink.recording() as recorded: ...  # then: recorded.samples, mono float

Needs the Debian packages pulseaudio, pulseaudio-utils and libasound2-plugins. Nothing of the user's own
sound set-up is read or changed: the daemon, its socket and ALSA's settings live in a temporary folder.
"""

from __future__ import annotations

import os
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

RATE = 44100
SINK = "drill_sink"

_ALSA = """\
<confdir:alsa.conf>
pcm.!default { type pulse }
ctl.!default { type pulse }
"""

_SCRIPT = """\
.nofail
load-module module-native-protocol-unix auth-anonymous=1 socket={socket}
load-module module-null-sink sink_name={sink} rate={rate} format=float32le channels=1 {rewinds}
set-default-sink {sink}
"""


@dataclass
class Recording:
    """What the sink played while it was recorded."""

    samples: NDArray[np.float32] = field(default_factory=lambda: np.zeros(0, np.float32))
    started: float = 0.0
    """About when, on the monotonic clock, the first sample sounded (within some 20 ms)."""


class NullSink:
    """A running daemon with one null sink; use it in a ``with`` statement.

    With ``rewinds`` a new sound starts at once, as on a card; without, at the sink's next block, but never
    torn.
    """

    def __init__(self, rewinds: bool = False) -> None:
        self._rewinds = rewinds
        self._folder = tempfile.TemporaryDirectory(prefix="null-sink-")
        self.folder = Path(self._folder.name)
        self._daemon: subprocess.Popen[bytes] | None = None

    def __enter__(self) -> NullSink:
        self.folder.chmod(0o700)
        alsa = self.folder / "alsa.conf"
        alsa.write_text(_ALSA.replace("<confdir:alsa.conf>", "</usr/share/alsa/alsa.conf>"))
        try:
            self.start()
        except BaseException:
            self._folder.cleanup()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()
        self._folder.cleanup()

    def environment(self) -> dict[str, str]:
        """Environment variables for a process whose sound is to go to the sink."""
        return {
            **os.environ,
            "HOME": str(self.folder),
            "XDG_RUNTIME_DIR": str(self.folder),
            "PULSE_RUNTIME_PATH": str(self.folder),
            "PULSE_SERVER": f"unix:{self.folder / 'socket'}",
            "PULSE_COOKIE": str(self.folder / "cookie"),
            "ALSA_CONFIG_PATH": str(self.folder / "alsa.conf"),
        }

    def start(self) -> None:
        """Start the daemon (again): the device appears."""
        script = self.folder / "script.pa"
        script.write_text(
            _SCRIPT.format(
                socket=self.folder / "socket",
                sink=SINK,
                rate=RATE,
                rewinds="" if self._rewinds else "norewinds=1",
            )
        )
        environment = self.environment()
        environment.pop("PULSE_SERVER")
        self._daemon = subprocess.Popen(
            [
                *("pulseaudio", "--daemonize=no", "--exit-idle-time=-1", "-n", "-F", str(script)),
                # With real-time scheduling the kernel kills the daemon where it gets too little time.
                *("--realtime=no", "--high-priority=yes", f"--log-target=file:{self.folder / 'daemon.log'}"),
            ],
            env=environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        deadline = time.monotonic() + 10
        while SINK not in self._pactl("list", "short", "sinks"):
            if time.monotonic() > deadline or self._daemon.poll() is not None:
                self.stop()
                raise RuntimeError("pulseaudio does not start; is it installed?")
            time.sleep(0.05)

    def stop(self) -> None:
        """End the daemon: the device goes away."""
        if self._daemon is not None:
            self._daemon.terminate()
            try:
                self._daemon.wait(5)
            except subprocess.TimeoutExpired:
                self._daemon.kill()
                self._daemon.wait()
            self._daemon = None
        (self.folder / "socket").unlink(missing_ok=True)
        (self.folder / "pid").unlink(missing_ok=True)

    def _pactl(self, *words: str) -> str:
        done = subprocess.run(
            ["pactl", *words], env=self.environment(), capture_output=True, text=True, check=False
        )
        return done.stdout

    @contextmanager
    def recording(self, before: float = 0.3, after: float = 0.5) -> Iterator[Recording]:
        """Record the sink's sound while the ``with`` block runs, and ``after`` s longer."""
        recording = Recording()
        target = self.folder / "recorded.raw"
        with target.open("wb") as file:
            recorder = subprocess.Popen(
                [
                    "parec",
                    f"--device={SINK}.monitor",
                    "--format=float32le",
                    "--channels=1",
                    f"--rate={RATE}",
                    "--latency-msec=20",
                    "--raw",
                ],
                env=self.environment(),
                stdout=file,
            )
            try:
                deadline = time.monotonic() + 10
                while target.stat().st_size == 0 and time.monotonic() < deadline:
                    time.sleep(0.02)
                recording.started = time.monotonic() - target.stat().st_size / 4 / RATE
                time.sleep(before)
                yield recording
                time.sleep(after)
            finally:
                recorder.terminate()
                recorder.wait()
        recording.samples = np.fromfile(target, np.float32)


def sounding(samples: NDArray[np.float32], level: float = 1e-4) -> tuple[int, int]:
    """First sample of what was recorded that is not silence, and the one after the last."""
    loud = np.flatnonzero(np.abs(samples) > level)
    if not len(loud):
        raise AssertionError("nothing was recorded but silence")
    return int(loud[0]), int(loud[-1]) + 1


def delay_of(part: NDArray[np.float32], recorded: NDArray[np.float32]) -> int:
    """The sample of a recording at which a part of the played sound fits best (cross-correlation)."""
    if len(recorded) < len(part):
        raise AssertionError(f"{len(recorded)} samples were recorded, fewer than the {len(part)} played")
    size = 1 << (len(recorded) + len(part) - 1).bit_length()
    product = np.fft.rfft(recorded, size) * np.conj(np.fft.rfft(part, size))
    return int(np.argmax(np.fft.irfft(product, size)[: len(recorded)]))


def delays_of_strokes(
    samples: NDArray[np.float32], onsets: NDArray[np.int64], recorded: NDArray[np.float32]
) -> list[int]:
    """For each stroke of a played sound, how many samples later than in ``samples`` it was recorded.

    The whole sound is found first; each stroke is then looked for within 50 ms of its place in it.
    """
    whole, near = delay_of(samples, recorded), RATE // 20
    delays = []
    for start, end in zip(onsets, [*onsets[1:], len(samples)], strict=True):
        first = max(0, whole + start - near)
        window = recorded[first : whole + end + near]
        delays.append(first + delay_of(samples[start:end], window) - int(start))
    return delays


def patiently(check: Callable[[], None], times: int = 3) -> None:
    """Check again where a busy machine made the daemon or the recorder stumble; the last failure counts."""
    for _ in range(times - 1):
        try:
            return check()
        except AssertionError:
            continue
    return check()
