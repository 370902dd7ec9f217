"""Latency in the real window: real taps along with clicks into a null sink; kept, used, or refused."""

from __future__ import annotations

import random
import time
from pathlib import Path
from types import SimpleNamespace

import pytest
from null_sink import NullSink
from window import AppWindow, XServer

from drillapp.music import FEATURES
from drillapp.records import open_log
from drillapp.screens.sound.latencies import Latencies
from drillapp.sound import Calibration

DELAY = 0.2


def new_learner(data: Path) -> None:
    data.mkdir()
    log = open_log(data / "practice.sqlite")
    learner = log.learners.add("Mira").id
    log.settings.set("drills", ("strum_it",), learner)
    log.settings.set("met_signs", FEATURES, learner)
    log.settings.set("cautions_read", True)
    log.close()


def to_calibration(app: AppWindow) -> None:
    app.wait(screen="today", notices=[])
    app.click("tab-settings")
    app.wait(screen="settings")
    app.click("section-sound")
    app.click("calibrate")
    app.wait(screen="calibration")


def tap_along(app: AppWindow, scatter: float = 0.0) -> dict:
    """Start the clicks and tap DELAY s after each was asked for, by key and by mouse; what was said then."""
    rng = random.Random(5)
    left, top, right, _ = app.control("begin")["box"]
    app.click("begin")
    seen = app.until(lambda seen: seen.get("first_click"), "the clicks")
    app.screen.do("mousemove", str((left + right) // 2), str(top - 150))
    for number in range(14):
        due = seen["first_click"] + number * seen["interval"] + DELAY + rng.uniform(-scatter, scatter)
        time.sleep(max(0.0, due - time.time()))
        app.screen.do(*(("key", "space") if number % 2 else ("click", "1")))
    return app.until(lambda seen: not seen["taking"] and seen["words"], "what was found")


def test_taps_with_a_known_delay_are_kept_for_this_device_and_strum_it_counts_from_them(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    new_learner(data)
    with AppWindow(landscape, data, environment=null_sink.environment()) as app:
        to_calibration(app)
        for _ in range(3):  # a busy machine may be too late with some of them: then once more
            if tap_along(app)["usable"]:
                break
        assert app.seen["words"].startswith("Your taps come 2")
        app.click("keep")
        app.until(lambda seen: seen["kept"].startswith("Kept: 2"), "that it is kept")
        assert "Null" in app.seen["device"]  # the sink's name
        app.press("Escape")
        app.wait(screen="settings")
        app.click("tab-today")
        app.wait(screen="today")
        app.press("Return")
        app.wait(screen="strum")
        app.press("Return")
        used = app.until(lambda seen: seen.get("latency"), "a take")["latency"]
    log = open_log(data / "practice.sqlite")
    ((name, row),) = log.settings.get("latencies").items()
    log.close()
    player, _, device = name.partition(" on ")
    assert player in ("simpleaudio", "miniaudio") and "Null" in device and row["taps"] >= 10
    # What xdotool and a busy machine add comes late, never early.
    assert DELAY <= row["latency"] < DELAY + 0.06
    assert used == row["latency"]


def test_scattered_taps_are_refused_and_nothing_is_kept(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    new_learner(data)
    with AppWindow(landscape, data, environment=null_sink.environment()) as app:
        to_calibration(app)
        seen = tap_along(app, scatter=0.15)
        assert "do not agree" in seen["words"] and not seen["usable"]
        assert "keep" not in seen["controls"]
        app.press("Return")
        app.wait(taking=True)
        seen = app.until(lambda seen: not seen["taking"] and seen["words"], "what was found without taps")
        assert "Only 0 taps" in seen["words"]
    log = open_log(data / "practice.sqlite")
    assert log.settings.get("latencies") == {}
    log.close()


class Device:
    """A practice's settings and a speaker, as Latencies asks for them."""

    def __init__(self) -> None:
        self.rows: dict = {}
        self.player = SimpleNamespace(name="miniaudio", device="Loudspeaker")
        self.latency = 0.145

    def setting(self, _name: str) -> dict:
        return self.rows

    def change(self, _name: str, rows: dict) -> None:
        self.rows = rows


@pytest.fixture
def device() -> Device:
    return Device()


def test_each_device_has_its_own_latency_and_an_unknown_one_the_players(device: Device) -> None:
    latencies = Latencies(device, device)
    assert latencies.seconds == 0.145
    latencies.keep(Calibration(0.21, 0.01, 12), 1000.0)
    assert latencies.seconds == 0.21 and latencies.kept_on == 1000.0
    device.player.device = "Headphones"
    latencies.look()
    assert latencies.seconds == 0.145
    latencies.keep(Calibration(0.3, 0.01, 12), 2000.0)
    latencies.forget()
    assert latencies.seconds == 0.145 and list(device.rows) == ["miniaudio on Loudspeaker"]


def test_a_latency_that_looks_wrong_is_said_once(device: Device) -> None:
    latencies = Latencies(device, device)
    latencies.keep(Calibration(0.21, 0.01, 12), 1000.0)
    said = [latencies.took(-0.15) for _ in range(12)]
    (notice,) = filter(None, said)
    assert notice.kind == "latency" and "no longer fits" in notice.text and said.index(notice) >= 3
    latencies.keep(Calibration(0.36, 0.01, 12), 2000.0)
    assert not any(latencies.took(0.01) for _ in range(12))
