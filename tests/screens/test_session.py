"""A whole session in the real window, by real mouse clicks and keys, into a real log."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
from null_sink import RATE, NullSink, delays_of_strokes, patiently
from window import AppWindow, XServer

from drillapp.music import FEATURES, parse
from drillapp.records import open_log
from drillapp.sound import count_in_samples, onset_samples, render

QUESTIONS = 12


def learner_of_twelve_questions(data: Path) -> str:
    """A data folder with one learner, whose drill is 12 questions long; gives the learner's id."""
    data.mkdir()
    log = open_log(data / "practice.sqlite")
    learner = log.learners.add("Mira").id
    log.settings.set("drills", ("page_to_sound", "sound_to_page"), learner)
    log.settings.set("met_signs", FEATURES, learner)
    log.settings.set("minutes", QUESTIONS * 45 // 60, learner)
    log.close()
    return learner


def picks(data: Path, learner: str) -> list[tuple[str, int | None]]:
    log = open_log(data / "practice.sqlite")
    found = [(answer.drill, answer.pick) for answer in log.answers(learner)]
    log.close()
    return found


def answer_one(app: AppWindow, number: int) -> tuple[str, int | None]:
    """Answer the question on screen in one of the ways there are; gives its drill and the pick."""
    seen = app.wait(screen="drill", number=number)
    drill, count = seen["drill"], len(seen["candidates"])
    way = number % 4
    if way == 0:
        app.click("not-sure")
        return drill, None
    pick = number % count
    if way == 1:
        app.press(str(pick + 1))
    else:
        app.click(f"hear-{'ABCD'[pick]}" if drill == "page_to_sound" else "hear")
        app.click(f"pick-{'ABCD'[pick]}")
    return drill, pick


def test_killing_the_app_after_an_answer_loses_none_and_a_restart_goes_on(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    learner = learner_of_twelve_questions(data)
    given: list[tuple[str, int | None]] = []
    with AppWindow(landscape, data, environment=null_sink.environment()) as app:
        app.wait(screen="cautions")
        app.press("Return")
        app.wait(screen="today")
        app.click("start")
        for number in range(1, 6):
            given.append(answer_one(app, number))
            app.wait(screen="answer", number=number)
            assert picks(data, learner) == given  # on disk by the time that the feedback shows
            if number < 5:
                app.press("Return") if number % 2 else app.click("next")
        app.kill()
    assert picks(data, learner) == given
    with AppWindow(landscape, data, environment=null_sink.environment()) as app:
        app.wait(screen="today")
        assert app.control("start")["text"] == "Go on"
        app.press("Return")
        for number in range(6, QUESTIONS + 1):
            given.append(answer_one(app, number))
            assert app.wait(screen="answer", number=number)["notices"] == []
            app.click("next")
        assert app.wait(screen="summary")["notices"] == []
        app.click("to-today")
        app.wait(screen="today")
        assert app.control("start")["text"] == "Start"
    assert picks(data, learner) == given
    assert len(given) == QUESTIONS
    assert {drill for drill, _ in given} == {"page_to_sound", "sound_to_page"}


def until_page_to_sound(app: AppWindow) -> dict:
    """Answer Not sure until a page with sounds to choose from is on screen."""
    app.wait(screen="today")
    app.press("Return")
    while True:
        seen = app.wait(screen="drill")
        if seen["drill"] == "page_to_sound":
            return seen
        app.press("n")
        app.wait(screen="answer", number=seen["number"])
        app.press("Return")
        app.wait(screen="drill", number=seen["number"] + 1)


def test_a_candidate_sounds_as_rendered_within_a_millisecond(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    learner_of_twelve_questions(data)
    log = open_log(data / "practice.sqlite")
    log.settings.set("volume", 1.0)
    log.close()
    with AppWindow(landscape, data, environment=null_sink.environment()) as app:
        app.wait(screen="cautions", notices=[])
        app.press("Return")
        seen = until_page_to_sound(app)
        swing = None if seen["swing"] is None else Fraction(seen["swing"])
        pattern = parse(seen["candidates"][1], seen["meter"], seen["tempo"], swing)
        played = render(pattern, seen["tempo"], seen["chord"], RATE, 1)
        onsets = onset_samples(pattern, seen["tempo"], RATE, 1)
        first = count_in_samples(pattern, seen["tempo"], RATE, 1)
        assert onsets[0] >= first

        def check() -> None:
            with null_sink.recording() as recorded:
                app.click("hear-B")
                app.wait(playing="B")
                app.wait(playing="")
            late = delays_of_strokes(played, onsets, recorded.samples)
            assert np.ptp(late) <= 0.001 * RATE

        patiently(check)
