"""Pages that are kept stand in a deck of their own."""

from __future__ import annotations

from pathlib import Path

import pytest

from drillapp.decks.folder import DeckFileError
from drillapp.decks.kept import is_kept, keep, kept_path
from drillapp.decks.load import load_deck
from drillapp.music import parse

PAGE, OTHER = parse("D- DU -U DU", tempo=80), parse("D-U DU-", "6/8", 60)


def kept(folder: Path, *pages, title: str = "") -> list[str]:
    deck = None
    for page in pages:
        deck = keep(page, title, folder, [] if deck is None else [deck], "Kept pages")
    return [one.title for one in deck.patterns]


def test_the_first_page_begins_the_deck_and_others_follow(tmp_path: Path) -> None:
    assert kept(tmp_path / "decks", PAGE, OTHER) == ["D- DU -U DU", "D-U DU-"]
    deck, faults = load_deck(kept_path(tmp_path / "decks"))
    assert deck is not None and not faults
    assert deck.title == "Kept pages"
    assert [one.pattern.meter.text for one in deck.patterns] == ["4/4", "6/8"]
    assert [one.pattern.tempo for one in deck.patterns] == [80, 60]


def test_a_page_is_kept_once_at_whatever_tempo(tmp_path: Path) -> None:
    assert kept(tmp_path, PAGE, PAGE, PAGE.at_tempo(100)) == ["D- DU -U DU"]


def test_pages_of_one_title_are_told_apart(tmp_path: Path) -> None:
    assert kept(tmp_path, PAGE, OTHER, title="Steps") == ["Steps", "Steps 2"]


def test_it_is_known_which_pages_are_kept(tmp_path: Path) -> None:
    deck = keep(PAGE, "", tmp_path, [], "Kept pages")
    assert is_kept(PAGE.at_tempo(50), tmp_path, [deck])
    assert not is_kept(OTHER, tmp_path, [deck])


def test_a_deck_that_has_the_title_already_keeps_it(tmp_path: Path) -> None:
    other = keep(PAGE, "", tmp_path / "a", [], "Kept pages")
    assert keep(PAGE, "", tmp_path / "b", [other], "Kept pages").title == "Kept pages 2"


def test_comments_and_a_new_title_in_the_file_stay(tmp_path: Path) -> None:
    keep(PAGE, "", tmp_path, [], "Kept pages")
    path = kept_path(tmp_path)
    path.write_text("# by hand\n" + path.read_text().replace("Kept pages", "For Friday"))
    assert keep(OTHER, "", tmp_path, [], "Kept pages").title == "For Friday"
    assert path.read_text().startswith("# by hand")


def test_a_file_with_faults_is_left_as_it_is(tmp_path: Path) -> None:
    kept_path(tmp_path).write_text("title = ")
    with pytest.raises(DeckFileError):
        keep(PAGE, "", tmp_path, [], "Kept pages")
    assert kept_path(tmp_path).read_text() == "title = "


def test_a_folder_that_is_a_file_is_named(tmp_path: Path) -> None:
    (tmp_path / "decks").write_text("")
    with pytest.raises(DeckFileError, match="decks"):
        keep(PAGE, "", tmp_path / "decks", [], "Kept pages")
