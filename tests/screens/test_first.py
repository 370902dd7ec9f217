"""A new learner's first five minutes in a real window, by real keys and clicks."""

from __future__ import annotations

from pathlib import Path

from null_sink import NullSink
from window import AppWindow, XServer

from drillapp.records import open_log

QUESTIONS = ("drill", "strum", "write")
ANSWERS = ("answer", "hand_result")


def to_first(app: AppWindow) -> None:
    app.wait(screen="cautions")
    app.press("Return")
    app.wait(screen="first", step="name")


def met(data: Path) -> set[str]:
    log = open_log(data / "practice.sqlite")
    found = set(log.settings.get("met_signs", log.learners.all()[0].id))
    log.close()
    return found


def test_whoever_is_new_gives_a_name_meets_two_signs_and_is_asked_about_these(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    with AppWindow(landscape, data, environment=null_sink.environment()) as app:
        to_first(app)
        app.control("first-name")
        app.screen.do("type", "--delay", "60", "Ana")
        app.until(lambda seen: seen["controls"]["first-name"]["text"] == "Ana", "the name")
        app.press("Return")
        app.wait(screen="first", step="reads", who="Ana")
        app.press("1")
        for sign in ("beat", "skip"):
            app.wait(screen="meet", feature=sign)
            app.press("Return")
        app.wait(screen="today")
        app.press("Return")
        for number in (1, 2, 3):
            seen = app.until(lambda seen: seen["screen"] in (*QUESTIONS, "meet"), "a question")
            assert seen["screen"] in QUESTIONS, "nothing new is shown yet"
            assert "|" not in seen.get("pattern", seen.get("candidates", [""])[0])
            assert 60 <= seen["tempo"] <= 72 and len(seen.get("candidates", ())) <= 2
            app.press("n")
            app.until(lambda seen: seen["screen"] in ANSWERS, "its answer")
            app.press("Return")
            app.until(lambda seen, n=number: seen.get("number") == n + 1, "the next question")
    assert met(data) == {"beat", "skip"}


def test_whoever_reads_some_is_placed_and_can_be_again(
    portrait: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    with AppWindow(portrait, data, environment=null_sink.environment()) as app:
        to_first(app)
        app.click("first-skip-name")
        app.wait(screen="first", step="reads")
        app.click("first-reads")
        app.until(lambda seen: seen["screen"] in QUESTIONS, "the first page")
        number = 0
        while app.until(lambda seen, n=number: seen["screen"] == "first" or seen.get("number") == n + 1)[
            "screen"
        ] != ("first"):
            number += 1
            app.press("n")
        assert app.wait(screen="first", step="placed")["heading"] == "We begin at the beginning"
        assert 1 <= number <= 13
        app.press("Return")
        app.wait(screen="today")
        app.click("tab-learners")
        app.click("place-again")
        app.wait(screen="first", step="reads")
        app.press("Escape")
        app.wait(screen="learners")
    assert met(data) == set()
