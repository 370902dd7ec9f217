"""Play along in a real window: chords and tempo change in time, the volume is at hand, minutes are kept.

The chords of a key by degree: common practice (I, IV, V of G are G, C, D).
"""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest
from window import AppWindow, XServer

from drillapp.music import FEATURES
from drillapp.records import open_log


@pytest.mark.parametrize("size", ["landscape", "portrait"])
def test_a_page_is_played_along_with_by_keys_and_by_touch(
    size: str, request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    screen: XServer = request.getfixturevalue(size)
    data = tmp_path / "data"
    data.mkdir()
    with closing(open_log(data / "practice.sqlite")) as log:
        log.settings.set("cautions_read", True)
        log.settings.set("player", "silent")
        log.settings.set("met_signs", FEATURES, log.learners.add("Mira").id)
    with AppWindow(screen, data) as app:
        app.wait(screen="today")
        app.press("p")
        begun = app.wait(screen="play_along", running=False)
        for name, control in begun["controls"].items():
            left, top, right, bottom = control["box"]
            assert right - left >= 48 and bottom - top >= 48, name  # dp, the trade's figure for a finger
            assert left >= 0 and top >= 0 and right <= screen.size[0] and bottom <= screen.size[1], name
        assert begun["chord"] == "G" and begun["then"] == ""
        app.click("progression-higher")
        app.until(lambda seen: seen["then"] == "then C", "G, then C")
        app.click("rise-higher")
        for _ in range(2):
            app.click("every-lower")
        fast = begun["tempo"] + 25 * 4
        app.press(*["plus"] * 25)
        app.wait(tempo=fast)
        app.press("space")
        shown = {}
        for number in (1, 2, 3):
            shown[number] = app.wait(round=number)
        assert [shown[number]["chord"] for number in (1, 2, 3)] == ["G", "C", "D"]
        assert [shown[number]["tempo"] for number in (1, 2, 3)] == [fast, fast + 2, fast + 4]
        app.press("minus")
        app.until(lambda seen: seen["tempo"] < fast + 4, "slower from a next round on")
        before = app.seen["volume"]
        app.press("Prior")
        app.until(lambda seen: seen["volume"] != before, "louder")
        app.click("volume-lower")
        app.wait(volume=before)
        app.until(lambda seen: seen["round"] >= 7, "some rounds more")
        app.click("play")
        app.wait(running=False)
        app.press("Escape")
        app.wait(screen="today")
    with closing(open_log(data / "practice.sqlite")) as log:
        (learner,) = log.learners.all()
        ((started, ended),) = log.sessions.played(learner.id)
        assert 5 < ended - started < 40
        assert not list(log.answers(learner.id)), "nothing is asked, nothing is graded"
