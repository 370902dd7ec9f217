"""Lessons on signs, and signs looked up from a question, in a real window."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from null_sink import NullSink
from window import AppWindow, XServer

from drillapp.music import FEATURES
from drillapp.records import open_log

STAND_IN = Path(__file__).with_name("stand_in.py")
SMALLEST = 48


def stand_in(screen: XServer, folder: Path, *words: str) -> AppWindow:
    return AppWindow(screen, folder, [sys.executable, str(STAND_IN), str(folder), *words])


def inside(seen: dict, size: tuple[int, int]) -> None:
    """Every control is large enough, in the window and clear of the others."""
    boxes = {name: control["box"] for name, control in seen["controls"].items()}
    for name, (left, top, right, bottom) in boxes.items():
        assert right - left >= SMALLEST and bottom - top >= SMALLEST, (name, boxes[name])
        assert left >= 0 and top >= 0 and right <= size[0] and bottom <= size[1], (name, boxes[name])
    names = list(boxes)
    for index, name in enumerate(names):
        for other in names[index + 1 :]:
            a, b = boxes[name], boxes[other]
            assert a[2] <= b[0] + 1 or b[2] <= a[0] + 1 or a[3] <= b[1] + 1 or b[3] <= a[1] + 1, (name, other)


@pytest.mark.parametrize("size", ["landscape", "portrait"])
def test_a_lesson_is_opened_heard_and_tried_from_the_list_of_signs(
    size: str, request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    screen: XServer = request.getfixturevalue(size)
    with stand_in(screen, tmp_path / "data") as app:
        app.click("close-notice")
        app.wait(screen="today", notices=[])
        app.click("tab-signs")
        seen = app.wait(screen="signs")
        assert {f"sign-{feature}" for feature in FEATURES} <= set(seen["controls"])
        app.click("sign-tie")
        inside(app.wait(screen="meet", feature="tie", asks=False), screen.size)
        app.click("hear-both")
        app.wait(playing="both")
        app.wait(playing="")  # both bars and the pause between them come to an end by themselves
        app.press("1")
        app.wait(playing="with")
        app.click("try")
        inside(app.wait(playing="try", trying=True, round=1), screen.size)
        app.press("f", "j")
        seen = app.until(lambda seen: seen["strokes"] >= 1, "a mark for a stroke")
        app.press("t")
        app.wait(playing="")
        app.click("done")
        assert app.wait(screen="signs")["notices"] == []


def test_a_sign_is_met_before_its_first_question_and_once_only(landscape: XServer, tmp_path: Path) -> None:
    with stand_in(landscape, tmp_path / "data", "new") as app:
        app.click("close-notice")
        app.wait(notices=[])
        app.click("first-skip")
        app.click("start")
        met = []
        seen = app.until(lambda seen: seen["screen"] in ("meet", "drill"), "a lesson")
        while seen["screen"] == "meet":
            assert seen["asks"]
            inside(seen, landscape.size)
            met.append(seen["feature"])
            app.click("know" if len(met) % 2 else "done")
            seen = app.until(
                lambda seen: seen["screen"] == "drill" or seen.get("feature") != met[-1], "what comes next"
            )
        assert met and met == [feature for feature in FEATURES if feature in met]
        app.press("n")
        app.wait(screen="answer")
        app.press("Return")
        seen = app.until(lambda seen: seen["screen"] in ("meet", "drill"), "the next question")
        assert seen.get("feature") not in met


def test_looking_signs_up_leaves_a_written_sheet_as_it_was(landscape: XServer, tmp_path: Path) -> None:
    with stand_in(landscape, tmp_path / "data", "hands") as app:
        app.click("close-notice")
        app.wait(notices=[])
        app.click("start")
        app.wait(screen="strum", number=1)
        app.press("s")
        inside(app.wait(screen="look_up"), landscape.size)
        app.press("Escape")
        app.wait(screen="strum", number=1)
        app.press("n")
        app.wait(screen="hand_result")
        app.press("Return")
        app.wait(screen="write", number=2)
        app.press("f", "x")
        sheet = app.until(lambda seen: seen["chosen"] == 2, "two slots filled")["sheet"]
        app.click("look-up")
        seen = app.wait(screen="look_up")
        first = seen["features"][0]
        app.press("1")
        app.wait(playing=f"sign-{first}")
        app.click("back-to-question")
        seen = app.wait(screen="write", number=2)
        assert seen["sheet"] == sheet and seen["chosen"] == 2
        assert sheet[:2] == ["struck", "muted"]


def test_an_answer_after_looking_is_logged_as_helped_and_the_next_one_is_not(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    data.mkdir()
    log = open_log(data / "practice.sqlite")
    learner = log.learners.add("Mira").id
    log.settings.set("drills", ("page_to_sound", "sound_to_page"), learner)
    log.settings.set("met_signs", FEATURES, learner)
    log.settings.set("cautions_read", True)
    log.close()
    with AppWindow(landscape, data, environment=null_sink.environment()) as app:
        app.wait(screen="today")
        app.press("Return")
        app.wait(screen="drill", number=1)
        app.press("s")
        app.wait(screen="look_up")
        app.press("s")
        app.wait(screen="drill", number=1)
        app.press("1")
        app.wait(screen="answer", number=1)
        app.press("Return")
        app.wait(screen="drill", number=2)
        app.press("1")
        app.wait(screen="answer", number=2)
    log = open_log(data / "practice.sqlite")
    assert [answer.helped for answer in log.answers(learner)] == [True, False]
    assert {one.pattern for one in log.observations(learner)} == {log.answers(learner)[1].pattern}
    log.close()
