"""Takes of Strum it in the real window: real X events at known times, loops, practice, keys, disturbances.

Touch times themselves are measured by ``tests/bench/bench_hands.py``, since a busy machine makes them uneven.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from null_sink import NullSink
from window import AppWindow, XServer
from xtest import XTest, strum_keys, wait_until

from drillapp.drills.strum.grade import Hit
from drillapp.music import FEATURES, parse
from drillapp.records import open_log
from drillapp.screens.sound.sounds import RATE, Played
from drillapp.screens.widgets.strum_keys import ACTS, StrumKeys, key_name, read_keys
from drillapp.words.keys import SPOKEN

HERE = Path(__file__).parent


def strummer(data: Path, **settings: object) -> str:
    """A data folder with one learner, who only strums; gives the learner's id."""
    data.mkdir()
    log = open_log(data / "practice.sqlite")
    learner = log.learners.add("Mira").id
    log.settings.set("drills", ("strum_it",), learner)
    log.settings.set("met_signs", FEATURES, learner)
    for name, value in settings.items():
        log.settings.set(name, value, learner)
    log.settings.set("cautions_read", True)
    log.close()
    return learner


def answers(data: Path, learner: str) -> list:
    log = open_log(data / "practice.sqlite")
    found = list(log.answers(learner))
    log.close()
    return found


def first_page(app: AppWindow, most: int = 84) -> dict:
    """Begin the drill; at ``most`` beats a minute, so that a busy machine can follow."""
    app.wait(screen="today")
    app.press("Return")
    seen = app.wait(screen="strum")
    while seen["tempo"] > most:
        app.press("minus")
        tempo = seen["tempo"]
        seen = app.until(lambda seen, tempo=tempo: seen["tempo"] < tempo, "a slower tempo")
    return seen


def begin(app: AppWindow) -> float:
    """Count in; gives when the first beat is heard, on ``perf_counter``."""
    app.press("Return")
    first = app.until(lambda seen: seen.get("first_beat"), "a count-in")["first_beat"]
    return first + time.perf_counter() - time.time()


def play(
    app: AppWindow, seen: dict, times: int = 1, down: str = "f", up: str = "j", without: int = -1
) -> None:
    """Play the page with real keys, each time through; one stroke of it may be left out."""
    server = XTest(app.screen.display)
    pattern = parse(seen["pattern"], seen["meter"], seen["tempo"])
    length = pattern.seconds(pattern.length)
    first = begin(app)
    for number in range(times):
        for index, stroke in enumerate(pattern.strokes):
            if index != without:
                wait_until(first + number * length + pattern.seconds(stroke.at))
                key = down if stroke.hand == "down" else up
                held = ["space"] * stroke.muted + ["Shift_L"] * stroke.accent
                for name, pressed in [(one, True) for one in [*held, key]] + [(key, False)]:
                    server.key(name, pressed)
                for name in held:
                    server.key(name, False)


def until_aside(app: AppWindow, words: str) -> None:
    """Wait until a take is set aside with a sentence that holds these words."""
    seen = app.until(lambda seen: not seen.get("taking") and seen.get("notice"), "a sentence")
    assert words in seen["notice"]
    assert seen["screen"] == "strum"


def strummed(screen: XServer, folder: Path, *words: object) -> dict:
    """What ``strummed.py`` prints."""
    done = subprocess.run(
        [sys.executable, HERE / "strummed.py", folder, *map(str, words)],
        env={**os.environ, "DISPLAY": screen.display, "PYTHONPATH": str(HERE.parents[1])},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout.splitlines()[-1])


@pytest.mark.parametrize("by", ["keys", "drags"])
def test_no_stroke_is_lost_and_none_is_heard_before_it_was_made(
    by: str, landscape: XServer, tmp_path: Path
) -> None:
    found = strummed(landscape, tmp_path / "data", by, 48)
    assert len(found["heard"]) == len(found["made"]) == 48
    assert found["hands"] == ["down", "up"] * 24
    assert found["heard"] == sorted(found["heard"])
    early = 0.004 if by == "drags" else 0  # a drag's place is known at its 4 ms steps
    assert all(heard >= made - early for heard, made in zip(found["heard"], found["made"], strict=True))


def test_one_finger_strums_while_another_holds_the_palm_pad(landscape: XServer, tmp_path: Path) -> None:
    found = strummed(landscape, tmp_path / "data", "fingers", 12, 8)
    assert found["hands"] == ["down", "up"] * 6
    assert found["muted"] == [True] * 6 + [False] * 6


def test_a_disturbed_take_is_set_aside_with_a_sentence_and_nothing_is_scored(
    landscape: XServer, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    learner = strummer(data, pace=1.5)
    server = XTest(landscape.display)
    with AppWindow(landscape, data) as app:
        seen = first_page(app, most=200)
        left, top, right, bottom = seen["field"]
        x, y = round((left + right) / 2), round(top + (bottom - top) / 4)

        wait_until(begin(app))
        strum_keys(server, 200, 100)
        until_aside(app, "strokes were played where the page has")

        begin(app)
        landscape.do("mousemove", str(x), str(y), "mousedown", "1")
        until_aside(app, "No stroke was heard")
        landscape.do("mouseup", "1")

        wait_until(begin(app))
        server.key("f", True)  # the key repeats as long as it is held
        until_aside(app, "Only 1 of ")
        server.key("f", False)

        wait_until(begin(app))
        strum_keys(server, 2, 4)
        landscape.do("getwindowfocus", "windowsize", "1100", "700")
        until_aside(app, "The window changed")

        wait_until(begin(app))
        strum_keys(server, 2, 4)
        server.focus_nothing()
        until_aside(app, "The window changed")

        app.click("begin")  # and the page can be tried again
        app.wait(taking=True, notice="", number=1)
    assert answers(data, learner) == []


def test_a_take_whose_sound_stops_is_set_aside(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    learner = strummer(data)
    with AppWindow(landscape, data, environment=null_sink.environment()) as app:
        app.press("Escape")
        first_page(app)
        app.press("l", "l")
        app.wait(often="4 times")
        begin(app)
        null_sink.stop()
        until_aside(app, "The sound ")  # stopped, or changed: libraries notice it at once or not at all
        begin(app)  # without sound, by the lights
        app.wait(taking=True, notice="")
    assert answers(data, learner) == []


def test_a_page_is_played_twice_through_and_again_for_practice(landscape: XServer, tmp_path: Path) -> None:
    data = tmp_path / "data"
    learner = strummer(data, cursor=True)
    with AppWindow(landscape, data) as app:
        seen = first_page(app)
        slots = len(parse(seen["pattern"], seen["meter"]).places)
        assert seen["cursor"] is None
        app.press("l")
        app.wait(often="Twice")
        play(app, seen, times=2, without=1)
        result = app.wait(screen="hand_result", number=1)
        assert result["lines"].count("left out") == 1 and not result["right"]
        assert "That is timing, not reading." in result["timing"]
        moved = [json.loads(line).get("cursor") for line in app.trace.read_text().splitlines()]
        assert max(slot for slot in moved if slot is not None) == slots - 1
        app.press("g")
        slower = app.until(
            lambda now: now["screen"] == "strum" and now["tempo"] < seen["tempo"], "a slower page"
        )
        app.press("l", "l")
        app.wait(often="Once")
        play(app, slower)
        practised = app.wait(screen="hand_result", right=True)
        assert "Practice only, not counted." in practised["timing"]
        assert practised["again"] == "Play faster"
        app.press("o")
        app.until(lambda seen: seen["controls"]["hear-yours"]["text"] == "Stop", "what was played")
        app.press("Return")
        app.wait(screen="strum", number=2)
    (answer,) = answers(data, learner)
    assert answer.extra["times"] == 2
    assert len([factor for factor in answer.factors if not factor.correct]) == 1


def test_other_keys_strum_when_the_learner_has_chosen_them(portrait: XServer, tmp_path: Path) -> None:
    data = tmp_path / "data"
    learner = strummer(data)

    def shown(app: AppWindow, act: str, key: str) -> None:
        app.until(lambda seen: seen["controls"][f"key-{act}"]["text"] == key, f"{key} for {act}")

    with AppWindow(portrait, data) as app:
        app.wait(screen="today")
        app.click("close-notice")
        app.wait(notices=[])
        app.click("tab-settings")
        app.wait(screen="settings")
        app.click("section-strum")
        app.click("key-down")
        shown(app, "down", "press a key")
        app.press("k")
        app.until(lambda seen: "turns the click on and off" in seen["refusal"], "a refusal")
        app.press("j")
        app.until(lambda seen: "strums up already" in seen["refusal"], "a refusal")
        app.press("d")
        shown(app, "down", "D")
        app.click("key-mute")
        app.press("Escape")
        shown(app, "mute", "Space")
        app.click("tab-today")
        seen = first_page(app)
        play(app, seen, down="d")
        assert app.wait(screen="hand_result")["right"], app.seen["lines"]
        app.press("Escape")
        app.wait(screen="today")
        app.click("tab-settings")
        app.click("section-strum")
        app.click("usual-keys")
        shown(app, "down", "F")
    assert len(answers(data, learner)) == 1


# Keys, without a window


@pytest.mark.parametrize("act", ACTS)
def test_no_act_of_strumming_can_take_a_key_that_does_something_else(act: str) -> None:
    usual = StrumKeys()
    for key in [*SPOKEN, *(getattr(usual, other) for other in ACTS if other != act), ""]:
        with pytest.raises(ValueError, match=r"choose another|change that one first"):
            usual.assigned(act, key)
    assert getattr(usual.assigned(act, "q"), act) == "q"
    assert usual.assigned(act, getattr(usual, act)) == usual


@pytest.mark.parametrize(
    "kept", [(), ("f",), ("f", "f", "space", "shift"), ("enter", "j", "space", "shift"), ("", "j", "a", "b")]
)
def test_keys_that_cannot_be_used_are_the_usual_ones(kept: tuple[str, ...]) -> None:
    assert read_keys(kept) == StrumKeys()
    chosen = StrumKeys().assigned("down", "home")
    assert read_keys(chosen.kept) == chosen


def test_a_key_is_named_after_what_stands_on_it() -> None:
    # SDL 2's key codes: printable keys are their unshifted ASCII character.
    assert [key_name(code) for code in (ord("f"), ord(";"), 32, 304, 303)] == [
        "f",
        ";",
        "space",
        "shift",
        "shift",
    ]
    assert key_name(306) == ""  # Ctrl: it belongs to the system


def test_what_was_played_is_heard_when_it_was_played() -> None:
    hits = [Hit(-0.02, "down", force=0.2), Hit(1.5, "up", True, 0.2), Hit(2.25, "down", False, 0.3)]
    played = Played.of(hits, "G", "steel")
    assert [stroke.accent for stroke in played.strokes] == [False, False, True]  # 3.5 dB above the usual
    samples = played.render()
    level = np.abs(samples)
    for at in (0.0, 1.5, 2.25):  # silence or decay before, a stroke just after
        start = round(at * RATE)
        assert level[start : start + RATE // 20].max() > 0.05
        before = level[max(0, start - RATE // 50) : start]
        assert not before.size or level[start : start + RATE // 10].max() > 1.5 * before.max()
