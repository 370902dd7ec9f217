"""What the screen tests share: X servers of three sizes, and the helper modules beside the tests."""

from __future__ import annotations

import importlib.util
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest

_TESTS = Path(__file__).resolve().parents[1]


def _load(path: Path) -> ModuleType:
    """A helper module of the tests: the folders are no packages, so it is loaded by its path."""
    name = path.stem
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, path)
        assert spec is not None and spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
    return sys.modules[name]


window_module = _load(_TESTS / "screens" / "window.py")
xtest_module = _load(_TESTS / "screens" / "xtest.py")
null_sink_module = _load(_TESTS / "sound" / "null_sink.py")


@pytest.fixture(scope="session")
def window(needs: Callable[..., None]) -> None:
    """What an X server of our own, a window on it and real events take."""
    needs("Xvfb", "xdotool", "libX11.so.6", "libXtst.so.6", "libGL.so.1")


@pytest.fixture(scope="session")
def landscape(window: None) -> Iterator[window_module.XServer]:
    """A screen of 1280 x 800."""
    with window_module.XServer(1280, 800) as screen:
        yield screen


@pytest.fixture(scope="session")
def portrait(window: None) -> Iterator[window_module.XServer]:
    """A screen of 800 x 1280."""
    with window_module.XServer(800, 1280) as screen:
        yield screen


@pytest.fixture(scope="session")
def desktop(window: None) -> Iterator[window_module.XServer]:
    """A screen of 1920 x 1080."""
    with window_module.XServer(1920, 1080) as screen:
        yield screen


@pytest.fixture
def null_sink(needs: Callable[..., None]) -> Iterator[null_sink_module.NullSink]:
    """A sound device of our own that can be recorded."""
    needs("pulseaudio", "pactl", "parec")
    with null_sink_module.NullSink() as sink:
        yield sink
