"""Writing a deck in the app: edits as plain values, then the whole way through the real window."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

from null_sink import NullSink
from window import AppWindow, XServer

from drillapp.decks.draft import draft_of, new_draft
from drillapp.decks.find import BANDS, find
from drillapp.decks.folder import load_drafts, new_path, save_deck, save_draft
from drillapp.decks.load import load_deck, load_decks
from drillapp.decks.read import read_deck
from drillapp.decks.write import write_deck
from drillapp.music import parse
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


def test_what_cannot_be_kept_is_kept_as_it_last_was() -> None:
    draft = new_draft(Path("mine.toml")).added()
    draft = replace(draft, title=" ").typed("Pattern 1", "D Q", "4/4")
    deck = draft.as_deck()
    read, faults = read_deck(write_deck(deck), "mine")
    assert not faults and read is not None
    assert [one.title for one in read.patterns] == ["Pattern 1", "Pattern 1 2"]


def test_a_title_of_another_deck_is_a_fault_and_a_copy_gets_one_of_its_own() -> None:
    decks = load_decks()[0]
    assert "Another deck" in replace(new_draft(Path("a.toml"), decks), title=decks[0].title.upper()).fault
    once = draft_of(decks[0], Path("a.toml"), decks).as_deck()
    twice = draft_of(decks[0], Path("b.toml"), [*decks, once])
    assert twice.fault == "" and twice.title != once.title


def test_a_line_says_where_each_kind_of_fault_is_and_what_would_be_right() -> None:
    draft = new_draft(Path("mine.toml"))
    for text, meter, swing, says in (
        ("D D D", "4/4", "", "Column 6: bar 1 has 3 of the 4 beats"),
        ("D Q D Z", "4/4", "", "And 1 more fault"),
        ("D D D D", "4/5", "", "5 is not a note value"),
        ("D D D D", "4/4", "9:1", "outside 1:1"),
        ("- . - .", "4/4", "", "Nothing is struck"),
    ):
        assert says in draft.typed("Steps", text, meter, swing).fault


def test_taps_write_the_text_and_the_text_is_what_the_ruler_shows() -> None:
    draft = new_draft(Path("mine.toml")).tapped(1).divided(0, 1).lengthened(0)
    assert draft.line.text == "D-U- D- D- D- | D-U- D- D- D-"
    assert draft.line.read.pattern == parse(draft.line.text, "4/4", 80)
    assert draft.shortened(1).turned(0).line.text == "U-U- D- D- D-"
    faulty = draft.typed("Steps", "D Q", "4/4")
    assert faulty.tapped(0) == faulty


def test_comments_stay_with_their_patterns_when_a_draft_is_gone_on_with(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(
        'title = "Mine"\n\n# the calm one\n[[pattern]]\ntitle = "Calm"\ntext = "D D D D"\n\n'
        '# the busy one\n[[pattern]]\ntitle = "Busy"\ntext = "DU DU DU DU"\n'
    )
    saved, _ = load_deck(path)
    save_draft(draft_of(saved, None, [saved]).moved(1).as_deck(), tmp_path)
    (left,) = load_drafts(tmp_path)
    save_deck(draft_of(left, None, [saved]).as_deck(), path)
    lines = path.read_text().splitlines()
    assert lines.index("# the busy one") < lines.index('title = "Busy"') < lines.index("# the calm one")


def test_a_new_deck_takes_the_place_of_no_file_and_no_draft(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text("")
    assert new_path(tmp_path, "Mine").name == "mine-2.toml"
    save_draft(new_draft(tmp_path / "mine-2.toml").as_deck(), tmp_path)
    assert new_path(tmp_path, "Mine").name == "mine-3.toml"


def app_data(folder: Path) -> Path:
    """A data folder of someone who has read the cautions."""
    data = folder / "data"
    data.mkdir()
    log = open_log(data / "practice.sqlite")
    log.settings.set("cautions_read", True)
    log.settings.set("begun", True, log.learners.add("Mira").id)
    log.close()
    return data


def test_what_was_tapped_survives_a_crash_and_is_offered_again(landscape: XServer, tmp_path: Path) -> None:
    data = app_data(tmp_path)
    quiet = {**os.environ, "ALSA_CONFIG_PATH": "/dev/null", "PULSE_SERVER": "unix:/nowhere"}
    with AppWindow(landscape, data, environment=quiet) as app:
        app.click("close-notice")
        app.wait(screen="today", notices=[])
        app.click("tab-decks")
        app.wait(screen="decks")
        app.click("new-deck")
        app.wait(screen="deck_editor", text="D- D- D- D-")
        app.click("slot-1")
        app.wait(text="DU D- D- D-")
        app.press("Right", "Right", "x")
        app.wait(text="DU DX D- D-", chosen=4)
        app.click("new-pattern")
        app.wait(patterns=2)
        app.click("undo")
        app.wait(patterns=1)
        draft = data / "decks" / ".drafts" / "my-deck.toml"
        app.until(lambda _seen: draft.exists() and "DU DX D- D-" in draft.read_text(), "the draft on disk")
        app.kill()
    with AppWindow(landscape, data, environment=quiet) as app:
        app.click("close-notice")
        app.wait(screen="today", notices=[])
        app.click("tab-decks")
        app.click("go-on-draft")
        app.wait(screen="deck_editor", text="DU DX D- D-", saved=False)
        app.click("save")
        app.wait(screen="decks", own=True)
        assert not draft.exists()
        assert [path.name for path in (data / "decks").glob("*.toml")] == ["new-deck.toml"]
        app.click("edit-deck")
        app.wait(screen="deck_editor", saved=True)
        app.click("take-out")
        app.wait(screen="decks", own=False)
        assert not list((data / "decks").glob("*.toml"))
        app.click("put-back")
        app.wait(screen="decks", own=True, title="Pattern 1")
    decks, faults = load_decks(data / "decks")
    assert not faults and decks[-1].patterns[0].pattern.text == "DU DX D- D-"


def test_patterns_are_found_then_a_file_is_copied_in_where_it_has_no_fault_and_given_away(
    portrait: XServer, tmp_path: Path
) -> None:
    shipped = load_decks()[0]
    data, home = app_data(tmp_path), tmp_path / "home"
    home.mkdir()
    (home / "bad.toml").write_text('title = "Bad"\n[[pattern]]\ntitle = "One"\ntext = "D D D"\n')
    (home / "good.toml").write_text('title = "Good"\n[[pattern]]\ntitle = "One"\ntext = "D D D D"\n')
    quiet = {
        **os.environ,
        "ALSA_CONFIG_PATH": "/dev/null",
        "PULSE_SERVER": "unix:/nowhere",
        "HOME": str(home),
    }
    with AppWindow(portrait, data, environment=quiet) as app:
        app.click("close-notice")
        app.wait(screen="today", notices=[])
        app.click("tab-decks")
        app.click("filter")
        app.wait(screen="decks", listed=len(shipped[0].patterns))
        app.control("sign-tie")
        for control, asked in (
            ("meter-4/4", {"meter": "4/4"}),
            ("band-easier", {"meter": "4/4", "hardness": BANDS["easier"]}),
            ("sign-tie", {"meter": "4/4", "hardness": BANDS["easier"], "features": ("tie",)}),
        ):
            app.click(control)
            app.wait(listed=len(find(shipped, **asked)))
        app.click("met-met")
        app.wait(listed=0)
        app.click("filter")
        app.wait(listed=len(shipped[0].patterns))
        app.click("open-file")
        app.wait(screen="deck_file", folder=str(home))
        app.click("pattern-1")
        app.until(lambda seen: seen["controls"]["path"]["text"].endswith("bad.toml"), "the path of the file")
        app.click("act")
        app.until(lambda seen: "bad.toml:4:14: bar 1 has 3 of the 4 beats" in seen["fault"], "its fault")
        app.click("pattern-2")
        app.until(lambda seen: seen["controls"]["path"]["text"].endswith("good.toml"), "the path of the file")
        app.click("act")
        app.wait(screen="decks", own=True, title="One")
        app.click("share-deck")
        app.wait(screen="deck_file", fault="")
        app.click("act")
        app.until(lambda seen: "is there already and is kept" in seen["fault"], "a refusal")
        app.click("as-sheet")
        app.until(lambda seen: seen["controls"]["path"]["text"].endswith("good.pdf"), "the name of a sheet")
        app.click("act")
        app.until(lambda seen: "1 page" in seen["done"], "the sheet")
    assert (home / "good.pdf").read_bytes().startswith(b"%PDF-")
    assert (data / "decks" / "good.toml").read_bytes() == (home / "good.toml").read_bytes()


def test_a_deck_is_written_saved_and_listed(landscape: XServer, null_sink: NullSink, tmp_path: Path) -> None:
    data = app_data(tmp_path)
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
