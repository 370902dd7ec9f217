"""Every screen in three sizes: controls are large enough, inside the window and clear of each other.

Sizes of targets: at least 48 dp, the trade's usual figure for a finger; it is above the 44 CSS pixels of
W3C WCAG 2.2, criterion 2.5.5 (AAA). Xvfb has 96 dots an inch, so that a dp is a pixel.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from window import AppWindow, XServer

STAND_IN = Path(__file__).with_name("stand_in.py")
SMALLEST = 48
TABS = ("signs", "progress", "decks", "learners", "settings", "today")


def stand_in(screen: XServer, folder: Path, *words: str) -> AppWindow:
    return AppWindow(screen, folder, [sys.executable, str(STAND_IN), str(folder), *words])


def check(seen: dict, size: tuple[int, int]) -> None:
    width, height = size
    boxes = {name: control["box"] for name, control in seen["controls"].items()}
    assert boxes
    for name, (left, top, right, bottom) in boxes.items():
        if name.startswith(("reading-", "feature-", "layer-", "deck-", "pattern-", "sign-")):
            top, bottom = max(top, 0), min(bottom, height)  # rows that a list's edge may cut
        assert right - left >= SMALLEST, (name, boxes[name])
        assert boxes[name][3] - boxes[name][1] >= SMALLEST, (name, boxes[name])
        assert left >= 0 and right <= width, (name, boxes[name])
        assert (top >= 0 and bottom <= height) or seen["screen"] == "settings", (name, boxes[name])
    fixed = [
        name for name in boxes if not name.startswith(("reading-", "feature-", "deck-", "pattern-", "sign-"))
    ]
    if seen["screen"] == "settings":  # one long scrolled page: what lies under the bar of screens is cut
        fixed = [name for name in fixed if not name.startswith("tab-")]
    for index, name in enumerate(fixed):
        for other in fixed[index + 1 :]:
            a, b = boxes[name], boxes[other]
            apart = a[2] <= b[0] + 1 or b[2] <= a[0] + 1 or a[3] <= b[1] + 1 or b[3] <= a[1] + 1
            assert apart, (name, a, other, b)


@pytest.mark.parametrize(
    ("size", "words"), [("landscape", ("many",)), ("portrait", ("many",)), ("desktop", ("night",))]
)
def test_controls_can_be_hit_on_every_screen(
    size: str, words: tuple[str, ...], request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    screen: XServer = request.getfixturevalue(size)
    with stand_in(screen, tmp_path / "data", *words) as app:
        app.click("close-notice")
        check(app.wait(screen="today", notices=[]), screen.size)
        for tab in TABS:
            app.click(f"tab-{tab}")
            check(app.wait(screen=tab, notices=[]), screen.size)
        app.click("start")
        for number in range(1, 5):
            seen = app.wait(screen="drill", number=number)
            check(seen, screen.size)
            app.click(f"pick-{'ABCD'[number % len(seen['candidates'])]}")
            check(app.wait(screen="answer", number=number), screen.size)
            app.click("next")


@pytest.mark.parametrize(
    ("words", "bins", "begin"), [(("many",), 5, "100 signs read."), (("empty",), 0, "No answers yet")]
)
def test_past_forecasts_are_shown_from_progress_and_left_again(
    portrait: XServer, tmp_path: Path, words: tuple[str, ...], bins: int, begin: str
) -> None:
    with stand_in(portrait, tmp_path / "data", *words) as app:
        app.click("close-notice")
        app.click("tab-progress")
        app.click("forecasts")
        seen = app.until(lambda seen: seen.get("sentence", "").startswith(begin), begin)
        assert seen["bins"] == bins
        check(seen, portrait.size)
        app.press("Escape")
        app.wait(screen="progress", notices=[])


@pytest.mark.parametrize("size", ["landscape", "portrait"])
def test_controls_can_be_hit_where_the_hands_answer(
    size: str, request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    screen: XServer = request.getfixturevalue(size)
    with stand_in(screen, tmp_path / "data", "hands", "left", "night") as app:
        app.click("close-notice")
        app.wait(notices=[])
        app.click("start")
        check(app.wait(screen="strum", number=1), screen.size)
        app.click("not-sure")
        check(app.wait(screen="hand_result", number=1), screen.size)
        app.click("again")
        check(app.wait(screen="strum", number=1), screen.size)
        app.click("not-sure")  # which goes on to the next question after practice
        check(app.wait(screen="write", number=2), screen.size)
        app.click("not-sure")
        check(app.wait(screen="hand_result", number=2), screen.size)


def test_everything_on_today_is_reached_with_tab_and_pressed_with_enter(
    landscape: XServer, tmp_path: Path
) -> None:
    with stand_in(landscape, tmp_path / "data", "empty") as app:
        app.control("close-notice")
        app.press("Tab")
        app.wait(screen="today", focus="close-notice")
        app.press("Return")
        app.wait(notices=[], focus="")
        reached = set()
        for _ in range(4 + 1 + 6):
            before = app.look()["focus"]
            app.press("Tab")
            reached.add(app.until(lambda seen, before=before: seen["focus"] not in ("", before))["focus"])
        assert reached >= set(app.seen["controls"])
        # Who, start, check, play along; the one sign that is open; the bar of screens.
        assert len(reached) == 4 + 1 + 6
        assert app.seen["focus"] == "tab-settings"
        app.press("Left", "space")
        app.wait(screen="learners")
        app.press("Escape")
        app.wait(screen="today")


def test_a_drill_is_done_from_the_keyboard(landscape: XServer, tmp_path: Path) -> None:
    with stand_in(landscape, tmp_path / "data") as app:
        app.wait(screen="today")
        app.press("Return")
        first = app.wait(screen="drill", number=1)
        assert first["drill"] == "page_to_sound"
        app.press("b")
        app.wait(playing="B")
        app.press("b")
        app.wait(playing="")
        app.press("plus", "plus", "minus")
        app.wait(tempo=first["tempo"] + 4)
        app.press("r")
        app.until(lambda seen: seen["controls"]["repeat"]["text"] == "Repeat on", "repeat")
        app.press("1")
        answered = app.wait(screen="answer", number=1)
        app.press(answered["letters"]["written"].lower())
        app.until(
            lambda seen: seen["controls"]["hear-written"]["state"] == "playing", "hearing what was written"
        )
        app.press("minus")  # heard again slower, which starts it anew
        app.until(
            lambda seen: (
                float(seen["tempo"]) == first["tempo"] + 4 - 8
                and seen["controls"]["hear-written"]["state"] == "playing"
            ),
            "hearing it slower",
        )
        app.press("Return")
        second = app.wait(screen="drill", number=2, drill="sound_to_page")
        assert second["tempo"] > first["tempo"] - 4
        app.press("space")
        app.wait(playing="sound")
        app.press("n")
        app.wait(screen="answer", number=2)


def test_a_failure_is_said_and_written_down_and_the_app_goes_on(landscape: XServer, tmp_path: Path) -> None:
    with stand_in(landscape, tmp_path / "data", "broken") as app:
        app.click("close-notice")
        app.wait(screen="today", notices=[])
        app.click("tab-progress")
        seen = app.until(lambda seen: seen["notices"], "a sentence")
        assert "the shelf is empty" in seen["notices"][0]
        app.click("close-notice")
        app.wait(notices=[])
        app.click("tab-decks")
        app.wait(screen="decks")
        written = (tmp_path / "data" / "drillapp.log").read_text()
        assert "RuntimeError: the shelf is empty" in written
