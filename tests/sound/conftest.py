"""What the sound tests share: a null sink that can be recorded, and a process that plays into it."""

from __future__ import annotations

import importlib
import importlib.util
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]

_HERE = Path(__file__).resolve().parent


def _load(name: str) -> ModuleType:
    """A helper module beside this file: the test folders are no packages, so it is loaded by its path."""
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, _HERE / f"{name}.py")
        assert spec is not None and spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
    return sys.modules[name]


null_sink_module = _load("null_sink")
_load("listener")


@pytest.fixture(scope="session")
def compiled() -> None:
    """librosa's machine code, compiled or loaded while no other process of the tests does so.

    numba keeps two files for each function in its cache. Where two processes fill it at once, it may be left
    with one file of each, and every process that loads such a pair dies (numba's issue 10128).
    """
    folder = Path(os.environ["NUMBA_CACHE_DIR"])
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "lock").open("w") as lock:
        if fcntl is not None:
            fcntl.flock(lock, fcntl.LOCK_EX)
        for name in ("librosa.core.pitch", "librosa.feature", "librosa.onset"):
            importlib.import_module(name)


@pytest.fixture(scope="session")
def pulseaudio(needs: Callable[..., None]) -> None:
    """What a sound device of our own takes."""
    needs("pulseaudio", "pactl", "parec")


@pytest.fixture(scope="session")
def null_sink(pulseaudio: None) -> Iterator[null_sink_module.NullSink]:
    """A running PulseAudio daemon with a null sink, for the whole session."""
    with null_sink_module.NullSink() as sink:
        yield sink


@pytest.fixture
def player(library: str, needs: Callable[..., None]) -> str:
    """The name of a library that plays, where it is installed."""
    if library == "simpleaudio":  # not part of every installation; it reaches PulseAudio by way of ALSA
        needs("alsa-lib/libasound_module_pcm_pulse.so", modules=("simpleaudio",))
    return library


@pytest.fixture
def in_sink(null_sink: null_sink_module.NullSink, tmp_path: Path) -> Callable[[str], str]:
    """Runs Python code in a process whose sound goes to the null sink; gives what it prints."""

    def run(code: str, sink: null_sink_module.NullSink = null_sink) -> str:
        environment = {
            **sink.environment(),
            "PYTHONPATH": str(_HERE.parents[1]),
            "KIVY_HOME": str(tmp_path),
            "KIVY_NO_ARGS": "1",
            "KIVY_NO_CONSOLELOG": "1",
        }
        done = subprocess.run(
            [sys.executable, "-c", code],
            env=environment,
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    return run
