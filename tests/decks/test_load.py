"""Deck files in folders: the shipped ones, the user's, and those that cannot be read."""

from __future__ import annotations

import os

from drillapp.decks.load import deck_files, load_deck, load_decks, load_files
from drillapp.decks.read import read_deck
from drillapp.files.resources import shipped

GOOD = 'title = "{title}"\n[[pattern]]\ntitle = "Steps"\ntext = "D D D D"\n'


def write(folder, name, title):
    path = folder / name
    path.write_text(GOOD.format(title=title), encoding="utf-8")
    return path


def test_every_shipped_deck_is_read_without_a_fault():
    decks, faults = load_decks()
    assert faults == ()
    assert len(decks) == len(deck_files(shipped("decks")))


def test_the_users_decks_come_after_the_shipped_ones(tmp_path):
    write(tmp_path, "mine.toml", "Mine")
    decks, faults = load_decks(tmp_path)
    assert not faults
    assert decks[-1].name == "mine"
    assert decks[:-1] == load_decks()[0]


def test_a_folder_that_is_not_there_holds_no_deck(tmp_path):
    assert load_decks(tmp_path / "gone") == load_decks()


def test_a_broken_deck_harms_no_other(tmp_path):
    write(tmp_path, "a.toml", "A")
    (tmp_path / "b.toml").write_text("title = ", encoding="utf-8")
    write(tmp_path, "c.toml", "C")
    decks, faults = load_files(deck_files(tmp_path))
    assert [deck.name for deck in decks] == ["a", "c"]
    assert [(fault.file, fault.line) for fault in faults] == [(str(tmp_path / "b.toml"), 1)]


def test_two_decks_of_one_title_are_a_fault_of_the_second(tmp_path):
    write(tmp_path, "a.toml", "Same")
    write(tmp_path, "b.toml", "SAME")
    decks, (fault,) = load_files(deck_files(tmp_path))
    assert [deck.name for deck in decks] == ["a"]
    assert fault.file.endswith("b.toml")
    assert "a.toml already has the title" in fault.message


def test_a_deck_named_like_a_shipped_one_is_a_fault_of_the_users(tmp_path):
    write(tmp_path, "offbeats.toml", "Mine")
    decks, (fault,) = load_decks(tmp_path)
    assert decks == load_decks()[0]
    assert "already is a deck named offbeats" in fault.message


def test_a_file_that_is_not_utf8_is_shown_at_its_first_wrong_byte(tmp_path):
    path = tmp_path / "latin.toml"
    path.write_bytes('title = "A"\nadvice = "d\xe9j\xe0"\n'.encode("latin-1"))
    deck, (fault,) = load_deck(path)
    assert deck is None
    assert (fault.line, fault.column) == (2, 12)
    assert "UTF-8" in fault.message


def test_a_folder_for_a_file_is_named_as_such(tmp_path):
    folder = tmp_path / "folder.toml"
    folder.mkdir()
    deck, (fault,) = load_deck(folder)
    assert deck is None
    assert "is a folder" in fault.message


def test_a_vanished_file_is_named_as_such(tmp_path):
    deck, (fault,) = load_deck(tmp_path / "gone.toml")
    assert deck is None
    assert "no such file" in fault.message


def test_a_file_larger_than_any_deck_is_not_read_to_its_end(tmp_path):
    path = tmp_path / "large.toml"
    with path.open("wb") as file:
        file.truncate(500_000_000)  # sparse
    deck, (fault,) = load_deck(path)
    assert deck is None
    assert "larger than" in fault.message


def test_a_file_that_may_not_be_read_is_named_as_such(tmp_path, monkeypatch):
    path = write(tmp_path, "a.toml", "A")

    def refuse(*_):
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr("drillapp.files.reading.os.open", refuse)
    deck, (fault,) = load_deck(path)
    assert deck is None
    assert "permissions" in fault.message


def test_a_pipe_is_named_and_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "a.toml")
    deck, (fault,) = load_deck(tmp_path / "a.toml")
    assert deck is None
    assert "a pipe, a device or a folder" in fault.message


def test_keys_of_very_many_parts_are_named_before_they_are_read():
    text = 'title = "a"\n' + "".join("a" + ".b" * depth + ".c = 1\n" for depth in range(899))
    deck, (fault,) = read_deck(text, "a", "a.toml")
    assert deck is None
    assert (fault.line, fault.column, fault.code) == (9, 1, "toml-deep-key")
    assert "more than 8 parts" in fault.message
