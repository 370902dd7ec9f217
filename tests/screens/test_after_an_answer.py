"""After an answer in the real window: heard with a moving mark, another like it, taken back, kept."""

from __future__ import annotations

import json
from pathlib import Path

from null_sink import NullSink
from window import AppWindow, XServer

from drillapp.decks.kept import kept_path
from drillapp.decks.load import load_deck
from drillapp.music import FEATURES
from drillapp.records import open_log


def learner_with(data: Path, *drills: str) -> str:
    """A data folder with one learner, who has met every sign; gives the learner's id."""
    data.mkdir()
    log = open_log(data / "practice.sqlite")
    learner = log.learners.add("Mira").id
    log.settings.set("drills", drills, learner)
    log.settings.set("met_signs", FEATURES, learner)
    log.settings.set("cautions_read", True)
    log.close()
    return learner


def cursors(app: AppWindow, of: str) -> list[int]:
    """The slots under which the mark of a page was seen, in turn."""
    seen = [json.loads(line).get("cursors", {}).get(of) for line in app.trace.read_text().splitlines()]
    return [slot for slot in dict.fromkeys(seen) if slot is not None]


def test_a_miss_is_heard_asked_again_on_another_page_taken_back_and_kept(
    landscape: XServer, null_sink: NullSink, tmp_path: Path
) -> None:
    data = tmp_path / "data"
    learner = learner_with(data, "page_to_sound")
    with AppWindow(landscape, data, environment=null_sink.environment()) as app:
        app.wait(screen="today")
        app.press("Return")
        seen, number = app.wait(screen="drill", number=1), 1
        while True:  # the first candidate, until it is a miss
            app.press("1")
            answered = app.wait(screen="answer", number=number)
            if not answered["right"]:
                break
            number += 1
            app.press("Return")
            seen = app.wait(screen="drill", number=number)
        app.press("h")
        app.until(lambda now: now["playing"] == "both", "both heard")
        app.until(lambda now: now["playing"] == "", "both heard to their end")
        for page in ("written", "chosen"):
            slots = cursors(app, page)
            assert slots == sorted(slots) and len(slots) > 2, "the mark goes over each page in turn"
        app.press("e")
        app.until(lambda now: now["controls"]["keep"]["text"] == "Kept", "the page is kept")
        app.press("m")
        another = app.wait(screen="drill", number=number)
        assert another["candidates"] != seen["candidates"]
        app.press("1")
        app.wait(screen="answer", number=number)
        app.press("z")
        again = app.wait(screen="drill", number=number)
        assert again["candidates"] == another["candidates"], "the same question stands again"
        app.press("1")
        app.wait(screen="answer", number=number)
        app.press("Return")
        app.wait(screen="drill", number=number + 1)
    log = open_log(data / "practice.sqlite")
    given = log.answers(learner)
    log.close()
    assert len(given) == number + 1, "one for each question; that of another taken back does not count"
    assert [one.helped for one in given] == [False] * number + [True]
    deck, _ = load_deck(kept_path(data / "decks"))
    assert deck is not None and [one.pattern.text for one in deck.patterns] == [given[number - 1].pattern]
