"""Real sound: each library plays into a PulseAudio null sink; what the sink heard is measured."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from null_sink import RATE, NullSink, delay_of, delays_of_strokes, patiently, sounding

from drillapp.music import parse
from drillapp.sound import onset_samples, render, render_loop

TEXT = "D- DU -U X- | D. .U >D- DU"
LIBRARIES = [
    *(["simpleaudio"] if sys.version_info < (3, 12) else []),
    "miniaudio",
    "kivy",
]

PLAY = """
import sys, time
from drillapp.music import parse
from drillapp.sound import open_player, render
player = open_player({library!r})
samples = render(parse({text!r}), tempo=120)
player.volume = 1.0
time.sleep(0.3)
called = time.monotonic()
handle = player.play(samples)
took = time.monotonic() - called
assert handle.playing
{then}
print([player.name, player.notice, took])
player.close()
"""
TO_THE_END = "time.sleep(0.1)\nwhile handle.playing: time.sleep(0.02)\ntime.sleep(0.2)"
STOPPED = "time.sleep(0.9); handle.stop(); assert not handle.playing; time.sleep(0.4)"


def play(in_sink: Callable[[str], str], sink: NullSink, library: str, then: str) -> tuple[list, np.ndarray]:
    with sink.recording() as recorded:
        printed = in_sink(PLAY.format(library=library, text=TEXT, then=then))
    return json.loads(printed.replace("'", '"')), recorded.samples


@pytest.mark.parametrize("library", LIBRARIES)
def test_recorded_strokes_are_where_render_puts_them(player: str, null_sink: NullSink, in_sink) -> None:
    # Within 1 ms of each other after the device's own delay; in fact to the sample.
    pattern = parse(TEXT)
    samples, onsets = render(pattern, tempo=120), onset_samples(pattern, tempo=120)

    def check() -> None:
        (name, notice, took), recorded = play(in_sink, null_sink, player, TO_THE_END)
        assert name == player and notice == ""
        assert took < 0.1, "play must not wait for the sound"
        delays = delays_of_strokes(samples, onsets, recorded)
        assert max(delays) - min(delays) <= RATE * 0.0001
        heard = recorded[delays[0] : delays[0] + len(samples)]
        assert np.abs(heard - samples).max() < 1e-3, "nothing may be lost or added"

    patiently(check)


@pytest.mark.parametrize("library", LIBRARIES)
def test_a_stopped_sound_ends_at_once_and_without_a_click(player: str, null_sink: NullSink, in_sink) -> None:
    _, recorded = play(in_sink, null_sink, player, STOPPED)
    start, end = sounding(recorded)
    # Stopped after 0.9 s: what the library had already taken (simpleaudio: a tenth of a second) still sounds.
    assert 0.75 < (end - start) / RATE < 1.15
    played = recorded[start:end].astype(float)
    body, tail = np.abs(np.diff(played[-8000:-800])), np.abs(np.diff(played[-800:]))
    assert abs(played[-1]) < 0.01
    assert tail.max() <= body.max() * 1.2


AGAIN = """
import time
import numpy as np
from drillapp.sound import open_player
player = open_player({library!r})
player.volume = 1.0
noise = (np.random.default_rng(4).standard_normal(22050) * 0.2).astype(np.float32)
long = np.full(10 * 44100, 0.01, np.float32)
time.sleep(0.3)
for wait in (0.0, 0.01, 0.05, 0.12, 0.2, 0.3) * 4:
    handle = player.play(long)
    time.sleep(wait)
    assert handle.playing
    handle.stop()
    handle.stop()
    assert not handle.playing
time.sleep(0.4)
player.play(noise)
time.sleep(0.9)
print([player.name, player.notice, 0])
player.close()
"""


@pytest.mark.parametrize("library", LIBRARIES[:-1])
def test_a_sound_that_is_stopped_and_played_again_at_once_neither_crashes_nor_hangs(
    player: str, null_sink: NullSink, in_sink
) -> None:
    noise = (np.random.default_rng(4).standard_normal(22050) * 0.2).astype(np.float32)

    def check() -> None:
        with null_sink.recording() as recorded:
            printed = in_sink(AGAIN.format(library=player))
        assert json.loads(printed.replace("'", '"'))[:2] == [player, ""]
        start = delay_of(noise, recorded.samples)
        heard = recorded.samples[start : start + len(noise)]
        assert np.abs(heard - noise).max() < 2e-3, "what was stopped is still heard under the last sound"

    patiently(check)


def test_a_loop_goes_on_through_its_join(null_sink: NullSink, in_sink) -> None:
    code = """
import time
from drillapp.music import parse
from drillapp.sound import open_player, render_loop
player = open_player("miniaudio")
player.volume = 1.0
time.sleep(0.3)
handle = player.play(render_loop(parse("D- DU"  , meter="2/4"), tempo=120), loop=True)
time.sleep(2.6)
assert handle.playing
handle.stop()
time.sleep(0.2)
player.close()
"""
    once = render_loop(parse("D- DU", meter="2/4"), tempo=120)
    twice = np.concatenate([once, once])

    def check() -> None:
        with null_sink.recording() as recorded:
            in_sink(code)
        start = delay_of(twice, recorded.samples)
        assert np.abs(recorded.samples[start : start + len(twice)] - twice).max() < 1e-3

    patiently(check)


LOSE = """
import sys, time
import numpy as np
from drillapp.sound import open_player

def state(*more):
    print(player.name, bool(player.notice), *more, flush=True)

player = open_player({library!r})
sound = np.full(4 * 44100, 0.05, np.float32)
state(player.play(sound).playing)
sys.stdin.readline()  # the device goes away
time.sleep({wait})
player.refresh()
state(player.play(sound).playing)
sys.stdin.readline()  # it comes back
state(player.refresh(), player.play(sound).playing)
player.close()
"""


@pytest.mark.parametrize("library", LIBRARIES[:-1])
def test_a_lost_device_is_noticed_and_used_again_when_it_returns(player: str, pulseaudio: None) -> None:
    wait = 0.1 if player == "simpleaudio" else 2.2
    with NullSink() as sink:
        process = subprocess.Popen(
            [sys.executable, "-c", LOSE.format(library=player, wait=wait)],
            env={**sink.environment(), "PYTHONPATH": str(Path(__file__).parents[2])},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        assert process.stdin is not None and process.stdout is not None
        assert process.stdout.readline().split() == [player, "False", "True"]
        sink.stop()
        process.stdin.write("\n")
        process.stdin.flush()
        assert process.stdout.readline().split() == ["silent", "True", "True"]
        sink.start()
        printed, _ = process.communicate("\n", timeout=20)
        assert printed.split() == [player, "False", "True", "True"]


def test_a_device_is_named_as_the_sound_server_names_it(null_sink: NullSink, in_sink) -> None:
    printed = in_sink("from drillapp.sound import open_player; print(open_player('miniaudio').device)")
    # PulseAudio's own name of the module-null-sink that the tests load.
    assert printed.strip() == "Null Output"
