"""The Reading check in the real window: begun on Today, answered, told in the end, no drill lost by it."""

from __future__ import annotations

from pathlib import Path

from null_sink import NullSink
from window import AppWindow, XServer

from drillapp.drills.check import MOST_TASKS
from drillapp.music import FEATURES
from drillapp.records import open_log


def a_learner(data: Path) -> str:
    """A data folder with one learner who writes and picks; gives the learner's id."""
    data.mkdir()
    log = open_log(data / "practice.sqlite")
    learner = log.learners.add("Mira").id
    log.settings.set("drills", ("write_it_down", "page_to_sound"), learner)
    log.settings.set("met_signs", FEATURES, learner)
    log.settings.set("cautions_read", True)
    log.close()
    return learner


def test_a_check_ends_with_a_finding_and_leaves_the_days_drill_to_go_on_with(
    portrait: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    learner = a_learner(data)
    with AppWindow(portrait, data, environment=null_sink.environment()) as app:
        app.wait(screen="today")
        app.press("Return")
        app.until(lambda seen: seen.get("number") == 1, "the drill")
        app.press("n")
        app.until(lambda seen: seen["screen"] in ("answer", "hand_result"), "its answer")
        app.press("Escape")
        app.wait(screen="today")

        app.click("check")
        pages, seen = 0, app.wait(screen="write")
        while seen["screen"] != "finding":
            pages += 1
            assert seen["of"] == 0  # nobody knows how many it will be
            app.press("n")
            app.wait(screen="hand_result", number=pages)
            app.press("Return")
            number = pages + 1
            seen = app.until(
                lambda seen, number=number: seen["screen"] == "finding" or seen.get("number") == number,
                "the next page",
            )
        assert 0 < pages <= MOST_TASKS
        # Of whoever reads nothing at all it cannot be said which sign is weaker than the others.
        assert seen["sentence"].startswith("No sign was read right, so this check cannot tell")
        standings = {standing for standing, _ in seen["rows"].values()}
        assert standings <= {"still open", "no weaker than the others"}
        app.press("Return")
        app.wait(screen="today")
        app.press("Return")
        app.until(lambda seen: seen.get("number") == 2, "the drill that was begun")
    log = open_log(data / "practice.sqlite")
    assert len(log.answers(learner)) == 1 + pages
    log.close()
