"""The user's folder of decks: saving, taking out, copying in, drafts, and folders that refuse."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drillapp.decks.deck import Deck, DeckPattern
from drillapp.decks.folder import (
    DeckFileError,
    copy_in,
    drop_draft,
    load_drafts,
    new_path,
    put_back,
    remove_deck,
    save_deck,
    save_draft,
)
from drillapp.decks.load import load_deck, load_decks
from drillapp.music import parse

DECK = Deck("house", "House", "", (DeckPattern("Steps", parse("D D D D"), 60, 110),))


def test_a_new_deck_gets_a_name_from_its_title_that_no_file_has(tmp_path):
    first = new_path(tmp_path, "Ties & Rests!")
    assert first.name == "ties-rests.toml"
    first.write_text("")
    assert new_path(tmp_path, "Ties & Rests!").name == "ties-rests-2.toml"
    assert new_path(tmp_path, "…").name == "deck.toml"


def test_a_saved_deck_is_read_back_with_its_lines(tmp_path):
    saved = save_deck(DECK, tmp_path / "new" / "house.toml")
    assert load_deck(tmp_path / "new" / "house.toml") == (saved, ())
    assert saved.patterns[0].line > 0


def test_saving_again_keeps_comments(tmp_path):
    path = tmp_path / "house.toml"
    save_deck(DECK, path)
    path.write_text("# by hand\n" + path.read_text())
    deck, _ = load_deck(path)
    assert deck is not None
    save_deck(replace(deck, title="Garden"), path)
    assert path.read_text().startswith('# by hand\ntitle = "Garden"')


def test_a_deck_with_a_fault_is_not_written(tmp_path):
    path = tmp_path / "house.toml"
    twice = replace(DECK, patterns=DECK.patterns * 2)
    with pytest.raises(DeckFileError, match="already has a pattern of this title"):
        save_deck(twice, path)
    assert not path.exists()


def test_a_deck_taken_out_can_be_put_back(tmp_path):
    path = tmp_path / "house.toml"
    saved = save_deck(DECK, path)
    removed = remove_deck(path)
    assert not path.exists()
    put_back(removed)
    assert load_deck(path) == (saved, ())


def test_a_deck_is_not_put_back_over_another(tmp_path):
    path = tmp_path / "house.toml"
    save_deck(DECK, path)
    removed = remove_deck(path)
    path.write_text("another")
    with pytest.raises(DeckFileError, match="is there again"):
        put_back(removed)
    assert path.read_text() == "another"


def test_a_deck_that_is_gone_is_named_as_such(tmp_path):
    with pytest.raises(DeckFileError, match="is gone"):
        remove_deck(tmp_path / "gone.toml")


def test_a_folder_that_refuses_is_named_and_nothing_is_lost(tmp_path, monkeypatch):
    path = tmp_path / "house.toml"
    save_deck(DECK, path)
    before = path.read_bytes()

    def refuse(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("drillapp.files.writing.os.open", refuse)
    with pytest.raises(DeckFileError, match="permissions"):
        save_deck(replace(DECK, title="Garden"), path)
    assert path.read_bytes() == before


def test_a_full_disk_leaves_the_old_deck(tmp_path, monkeypatch):
    path = tmp_path / "house.toml"
    save_deck(DECK, path)
    before = path.read_bytes()

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("drillapp.files.writing.os.fsync", full)
    with pytest.raises(DeckFileError, match="No space left"):
        save_deck(replace(DECK, title="Garden"), path)
    assert path.read_bytes() == before
    assert [entry.name for entry in tmp_path.iterdir()] == ["house.toml"]


def test_a_deck_from_outside_is_copied_in_and_stays_outside(tmp_path):
    outside = tmp_path / "outside.toml"
    save_deck(DECK, outside)
    deck, faults = copy_in(outside, tmp_path / "decks")
    assert not faults
    assert deck is not None
    assert deck.name == "outside"
    assert outside.exists()


def test_a_broken_deck_from_outside_is_not_copied_in(tmp_path):
    outside = tmp_path / "outside.toml"
    outside.write_text("title = ")
    deck, faults = copy_in(outside, tmp_path / "decks")
    assert deck is None
    assert faults[0].line == 1
    assert not (tmp_path / "decks").exists()


def test_a_deck_from_outside_does_not_take_the_name_or_the_title_of_another(tmp_path):
    shipped, _ = load_decks()
    outside = tmp_path / "offbeats.toml"
    save_deck(DECK, outside)
    deck, faults = copy_in(outside, tmp_path / "decks", shipped)
    assert not faults
    assert deck is not None
    assert deck.name == "house-2"
    again, faults = copy_in(outside, tmp_path / "decks", [*shipped, deck])
    assert again is None
    assert "already is a deck with the title 'House'" in faults[0].message


def test_a_draft_outlives_a_crash_and_is_no_deck(tmp_path):
    save_draft(DECK, tmp_path)
    assert load_decks(tmp_path) == load_decks()
    (draft,) = load_drafts(tmp_path)
    assert draft.title == "House"
    assert draft.source == str(tmp_path / "house.toml")
    drop_draft("house", tmp_path)
    drop_draft("house", tmp_path)
    assert load_drafts(tmp_path) == ()


def test_a_damaged_draft_is_left_where_it_is(tmp_path):
    save_draft(DECK, tmp_path)
    (tmp_path / ".drafts" / "other.toml").write_text("title = ")
    assert [draft.name for draft in load_drafts(tmp_path)] == ["house"]
    assert (tmp_path / ".drafts" / "other.toml").exists()
