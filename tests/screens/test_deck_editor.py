"""Writing a deck in the app: edits as plain values, then the whole way through the real window."""

from __future__ import annotations

from pathlib import Path

from null_sink import NullSink
from window import AppWindow, XServer

from drillapp.deck_draft import draft_of, new_draft
from drillapp.decks import load_decks
from drillapp.records import open_log


def test_a_fault_is_named_while_typing_and_the_last_good_pattern_is_kept() -> None:
    draft = new_draft(Path("mine.toml")).typed("Steps", "D- DU -U DU", "4/4")
    assert draft.fault == ""
    wrong = draft.typed("Steps", "D Q D D", "4/4")
    assert "column 3" in wrong.fault.lower()
    assert wrong.as_deck().patterns[0].pattern.text == "D- DU -U DU"


def test_every_edit_leaves_the_draft_before_it_as_it_was() -> None:
    first = new_draft(Path("mine.toml"))
    second = first.added().doubled()
    assert [line.title for line in second.lines] == ["Pattern 1", "Pattern 2", "Pattern 2 2"]
    assert [line.title for line in second.moved(-1).lines] == ["Pattern 1", "Pattern 2 2", "Pattern 2"]
    assert [line.title for line in second.deleted().lines] == ["Pattern 1", "Pattern 2"]
    assert first.deleted() == first
    assert len(first.lines) == 1


def test_two_patterns_of_one_title_are_a_fault() -> None:
    draft = new_draft(Path("mine.toml")).added().typed("Pattern 1", "D D D D", "4/4")
    assert "another pattern has this title" in draft.fault


def test_a_copy_has_the_patterns_of_its_deck_and_a_title_of_its_own() -> None:
    deck = load_decks()[0][0]
    copy = draft_of(deck, Path("mine.toml")).as_deck()
    assert [one.pattern for one in copy.patterns] == [one.pattern for one in deck.patterns]
    assert copy.title != deck.title


def test_a_deck_is_written_saved_and_listed(landscape: XServer, null_sink: NullSink, tmp_path: Path) -> None:
    data = tmp_path / "data"
    data.mkdir()
    log = open_log(data / "practice.sqlite")
    log.settings.set("cautions_read", True)
    log.close()
    with AppWindow(landscape, data, environment=null_sink.environment()) as app:
        app.wait(screen="today")
        app.click("tab-decks")
        app.wait(screen="decks")
        app.click("new-deck")
        app.wait(screen="deck_editor", saved=False)
        app.click("pattern-text")
        app.until(lambda seen: seen["controls"]["pattern-text"]["state"] == "writing", "the field in focus")
        app.press("ctrl+a")
        app.screen.do("type", "--delay", "40", "D- DQ")
        app.until(lambda seen: "Q" in seen["fault"], "a fault")
        app.press("BackSpace")
        app.screen.do("type", "--delay", "40", "U -U DU")
        app.wait(fault="")
        app.click("save")
        app.wait(screen="decks")
        app.until(lambda seen: seen["controls"]["edit-deck"]["text"] == "Edit", "a deck of one's own")
        app.kill()
    decks, faults = load_decks(data / "decks")
    assert not faults
    assert decks[-1].patterns[0].pattern.text == "D- DU -U DU"
