"""The players' facade: which library is chosen, and what happens without a device."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable

import numpy as np
import pytest

from drillapp.sound import open_player
from drillapp.sound.players.facade import SAFE_VOLUME, NoSound, Player
from drillapp.sound.players.silent_output import SilentOutput, open_output

TONE = np.sin(np.arange(4410) / 10).astype(np.float32)


class Speaker:
    """An output that notes what reaches it, and can be unplugged."""

    name = "speaker"
    latency = 0.01

    def __init__(self) -> None:
        self.heard: list[np.ndarray] = []
        self.alive = True

    def start(self, samples: np.ndarray, rate: int, loop: bool, volume: float) -> object:
        if not self.alive:
            raise NoSound("unplugged")
        self.heard.append(samples * np.float32(volume))
        return SilentOutput().start(samples, rate, loop, volume)

    def stream(self, samples: np.ndarray, rate: int, volume: float, seconds: float) -> object:
        if not self.alive:
            raise NoSound("unplugged")
        return SilentOutput().stream(samples, rate, volume, seconds)

    def close(self) -> None:
        pass


def player_on(speaker: Speaker) -> Player:
    def plug() -> Speaker:
        if not speaker.alive:
            raise NoSound("unplugged")
        return speaker

    return Player([plug, open_output], "no sound")


def test_an_unplugged_device_makes_the_player_silent_and_a_new_one_brings_sound_back() -> None:
    speaker = Speaker()
    player = player_on(speaker)
    player.play(TONE)
    assert player.notice == "" and len(speaker.heard) == 1
    speaker.alive = False
    assert player.play(TONE).playing
    assert player.name == "silent" and player.notice == "no sound"
    assert not player.refresh()
    speaker.alive = True
    assert player.refresh()
    player.play(TONE)
    assert player.notice == "" and len(speaker.heard) == 2


def test_an_empty_sound_never_reaches_a_library() -> None:
    speaker = Speaker()
    handle = player_on(speaker).play(np.zeros(0, np.float32))
    assert not handle.playing and not speaker.heard


def test_volume_starts_at_a_safe_half_and_scales_what_is_played() -> None:
    speaker = Speaker()
    player = player_on(speaker)
    assert player.volume == SAFE_VOLUME == 0.5
    player.play(TONE)
    player.volume = 1.0
    player.play(TONE)
    assert np.array_equal(speaker.heard[0] * 2, speaker.heard[1])


@pytest.mark.parametrize("volume", [-0.1, 1.1, float("nan")])
def test_a_volume_above_full_scale_is_refused(volume: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        player_on(Speaker()).volume = volume


def test_stereo_is_refused() -> None:
    with pytest.raises(ValueError, match="mono"):
        player_on(Speaker()).play(np.zeros((10, 2), np.float32))


def test_the_silent_player_keeps_time_and_says_so() -> None:
    player = open_player("silent")
    handle = player.play(TONE)
    assert player.name == "silent" and player.notice
    assert handle.playing and handle.position is not None
    handle.stop()
    assert not handle.playing


def test_an_unknown_player_names_the_known_ones() -> None:
    with pytest.raises(ValueError, match="simpleaudio, miniaudio, kivy, silent"):
        open_player("gramophone")


def run(code: str, **environment: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=60, env=environment, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_libraries_are_imported_only_when_their_turn_comes() -> None:
    code = """
import sys
import drillapp.sound
drillapp.sound.open_player("silent")
print([name for name in ("simpleaudio", "miniaudio", "kivy") if name in sys.modules])
"""
    assert run(code).strip() == "[]"


@pytest.mark.parametrize("preferred", [None, "simpleaudio"])
def test_simpleaudio_is_not_even_imported_on_python_3_12(preferred: str | None) -> None:
    # It crashes there; the version is set before anything asks for it.
    code = f"""
import sys
import numpy, miniaudio  # they ask for the version too
from drillapp.sound import open_player
sys.version_info = (3, 12, 0, "final", 0)
player = open_player({preferred!r})
print(player.name != "simpleaudio", "simpleaudio" in sys.modules)
"""
    assert run(code, ALSA_CONFIG_PATH="/nowhere", PULSE_SERVER="unix:/nowhere").strip() == "True False"


@pytest.mark.parametrize("preferred", [None, "simpleaudio", "miniaudio", "kivy"])
def test_without_a_device_the_player_is_silent_with_a_sentence(preferred: str | None, tmp_path) -> None:
    code = f"""
import numpy as np
from drillapp.sound import open_player
player = open_player({preferred!r})
assert player.play(np.ones(100, np.float32)).playing
print(player.name, player.notice)
"""
    printed = run(
        code,
        ALSA_CONFIG_PATH="/nowhere",
        PULSE_SERVER="unix:/nowhere",
        HOME=str(tmp_path),
        KIVY_HOME=str(tmp_path),
        KIVY_NO_CONSOLELOG="1",
    )
    assert printed.startswith("silent No sound device answers")


def test_the_devices_that_sound_can_come_out_of_are_named_or_said_to_be_unnamed(tmp_path) -> None:
    code = """
from drillapp.sound import open_player
from drillapp.sound.players.devices import device_names
print(open_player("silent").device, "|", device_names())
"""
    printed = run(code, ALSA_CONFIG_PATH="/nowhere", XDG_RUNTIME_DIR=str(tmp_path), HOME=str(tmp_path))
    assert printed.strip() == "nothing | the usual device"


def test_simpleaudios_sounds_leave_its_list_one_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    # simpleaudio 1.0.4 reads the head of its list of sounds before it locks it (c_src/simpleaudio.c, _stop).
    from drillapp.sound.players import simpleaudio_output

    now, stopped = [100.0], []
    monkeypatch.setattr(simpleaudio_output, "monotonic", lambda: now[0])

    class Sound:
        def __init__(self, number: int) -> None:
            self.number = number

        def stop(self) -> None:
            stopped.append(self.number)

    class Library:
        count = 0

        def play_buffer(self, *_: object) -> Sound:
            self.count += 1
            return Sound(self.count)

    output = simpleaudio_output.SimpleaudioOutput(Library())
    long = np.full(44100 * 20, 0.1, np.float32)
    first, second = (output.start(long, 44100, loop=False, volume=1.0) for _ in range(2))
    first.stop()
    now[0] += 0.05
    second.stop()
    assert stopped == [1] and not second.playing
    now[0] += 1
    third = output.start(long, 44100, loop=False, volume=1.0)
    assert stopped == [1, 2] and third.playing
    now[0] += 21
    assert not third.playing, "told by the clock"


def test_the_sound_that_plays_follows_the_volume() -> None:
    turned = []

    class Follows(SilentOutput):
        def start(self, samples: np.ndarray, rate: int, loop: bool, volume: float) -> object:
            handle = super().start(samples, rate, loop, volume)
            handle.turn = turned.append
            return handle

    player = Player([Follows], "no sound")
    player.volume = 0.2
    assert turned == [], "nothing plays yet"
    handle = player.play(np.tile(TONE, 20))
    player.volume = 0.4
    assert turned == [0.4]
    handle.stop()
    player.volume = 0.1
    assert turned == [0.4], "a sound that has ended is left alone"


def test_a_silent_stream_keeps_the_time_of_what_is_added_and_ends_when_it_is_stopped() -> None:
    player = Player([open_output], "no sound")
    stream = player.stream(TONE[:441], seconds=60)
    assert stream is not None
    wait_for(lambda: stream.position == 0.01)
    assert stream.playing, "it waits for more"
    stream.extend(TONE[:441])
    wait_for(lambda: stream.position == 0.02)
    stream.stop()
    assert not stream.playing
    with pytest.raises(ValueError, match="mono"):
        player.stream(np.zeros((4, 2)))


def wait_for(met: Callable[[], bool]) -> None:
    until = time.monotonic() + 10
    while not met():
        assert time.monotonic() < until, "it does not come to that"
        time.sleep(0.002)
