"""What the sound tests share: a null sink that can be recorded, and a process that plays into it."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest

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
_load("analysis")
_load("listener")


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
