"""Strum it and Write it down in the real window: strokes by real drags and keys, at the page's times."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from null_sink import NullSink
from window import AppWindow, XServer
from xtest import XTest, drag, wait_until

from drillapp.drills.strum.grade import Hit
from drillapp.music import FEATURES, parse
from drillapp.records import open_log
from drillapp.screens.sound.sounds import Clicks

TEMPO = 60


def learner_with(data: Path, *drills: str) -> str:
    """A data folder with one learner, whose plan holds these drills; gives the learner's id."""
    data.mkdir()
    log = open_log(data / "practice.sqlite")
    learner = log.learners.add("Mira").id
    log.settings.set("drills", drills, learner)
    log.settings.set("met_signs", FEATURES, learner)
    log.settings.set("cautions_read", True)
    log.close()
    return learner


def answers(data: Path, learner: str) -> list:
    log = open_log(data / "practice.sqlite")
    found = list(log.answers(learner))
    log.close()
    return found


def play(app: AppWindow, seen: dict, by: str, skip: int | None = None) -> None:
    """Play the page on screen with real events, by "drag" or by "key"."""
    server = XTest(app.screen.display)
    pattern = parse(seen["pattern"], seen["meter"], seen["tempo"])
    left, top, right, bottom = (round(edge) for edge in seen["field"])
    app.press("Return")
    first = app.until(lambda seen: seen.get("first_beat"), "a count-in")["first_beat"]
    first += time.perf_counter() - time.time()
    for number, stroke in enumerate(pattern.strokes):
        if number == skip:
            continue
        when = first + pattern.seconds(stroke.at)
        if by == "drag":
            drag(server, (left + right) // 2, top, bottom, stroke.hand, when)
        else:
            wait_until(when)
            for pressed in (True, False):
                server.key("f" if stroke.hand == "down" else "j", pressed)


def slower(app: AppWindow) -> dict:
    """A tempo that a busy machine can follow."""
    seen = app.wait(screen="strum")
    while seen["tempo"] > 84:
        app.press("minus")
        tempo = seen["tempo"]
        seen = app.until(lambda seen, tempo=tempo: seen["tempo"] < tempo, "a slower tempo")
    return seen


def test_a_page_strummed_as_written_is_read_right_and_a_stroke_left_out_is_named(
    landscape: XServer, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    learner = learner_with(data, "strum_it")
    with AppWindow(landscape, data) as app:
        app.wait(screen="today")
        app.click("close-notice")
        app.press("Return")
        seen, number = slower(app), 0
        while True:  # on a busy machine the X server may merge a drag into one place: then once more
            number += 1
            play(app, seen, "drag")
            result = app.wait(screen="hand_result", number=number)
            app.press("Return")
            seen = app.wait(screen="strum", number=number + 1)
            if result["right"] or number == 4:
                break
        assert result["right"], result["lines"]
        play(app, seen, "key", skip=1)
        result = app.wait(screen="hand_result", number=number + 1)
        assert "left out" in result["lines"]
        assert not result["right"]
    *_, first, second = answers(data, learner)
    assert first.drill == second.drill == "strum_it"
    assert all(factor.correct for factor in first.factors)
    assert not all(factor.correct for factor in second.factors)


def test_a_take_without_strokes_is_set_aside_and_not_logged(landscape: XServer, tmp_path: Path) -> None:
    data = tmp_path / "data"
    learner = learner_with(data, "strum_it")
    with AppWindow(landscape, data) as app:
        app.wait(screen="today")
        app.press("Return")
        app.wait(screen="strum")
        app.press("Return")
        app.wait(taking=True)
        seen = app.until(lambda seen: seen.get("notice"), "a sentence")
        assert "No stroke was heard" in seen["notice"]
        assert seen["screen"] == "strum"
    assert answers(data, learner) == []


def test_slots_are_written_by_tapping_and_by_keys(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    learner = learner_with(data, "write_it_down")
    with AppWindow(landscape, data, environment=null_sink.environment()) as app:
        app.wait(screen="today")
        app.press("Return")
        seen = app.wait(screen="write", number=1)
        app.click("slot-0")
        app.until(lambda seen: seen["sheet"][0] == "struck", "a stroke")
        app.click("slot-0")
        app.until(lambda seen: seen["sheet"][0] == "muted", "a mute")
        app.press("z")
        app.until(lambda seen: seen["sheet"][0] == "struck", "a stroke again")
        app.press("Right", "minus", "period")
        app.until(lambda seen: seen["sheet"][1:3] == ["tied on", "silent"], "what was typed")
        app.press(*["f"] * (seen["slots"] - 3))
        app.wait(full=True)
        app.click("done")
        app.wait(screen="hand_result", number=1)
    (answer,) = answers(data, learner)
    assert answer.drill == "write_it_down"


@pytest.mark.parametrize(("meter", "beats"), [("4/4", 4), ("3/4", 3), ("6/8", 2), ("2+2+3/8", 3)])
def test_a_bar_is_counted_in_with_a_click_on_each_of_its_beats(meter: str, beats: int) -> None:
    # Common practice: the count-in is one bar long and has the bar's beats.
    clicks = Clicks(parse("D " * beats, meter, TEMPO), TEMPO)
    assert len(clicks.beat_times) == beats
    assert clicks.beat_times[0] == 0
    assert clicks.seconds == pytest.approx(clicks.count_in_seconds)


def test_a_crossing_is_timed_between_the_samples_on_either_side() -> None:
    from drillapp.screens.widgets.strings import crossing

    # Geometry: the line at 100 lies 30/40 of the way from 130 to 90.
    down = crossing(100, (1.0, 130), (1.020, 90), muted=False)
    assert down is not None
    assert (down.hand, down.time) == ("down", pytest.approx(1.015))
    up = crossing(100, (1.0, 90), (1.020, 130), muted=True)
    assert up is not None
    assert (up.hand, up.muted, up.time) == ("up", True, pytest.approx(1.005))
    assert crossing(100, (1.0, 130), (1.020, 110), muted=False) is None
    assert Hit(up.time, "up", up.muted, up.force)
