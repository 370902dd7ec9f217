"""Giving a deck away as a file or a sheet, and finding one in a folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from drillapp.decks.folder import DeckFileError
from drillapp.decks.load import load_deck, load_decks
from drillapp.decks.sharing import listing, share_deck
from drillapp.screens.decks.sheet_sharing import share_sheet

DECK = load_decks()[0][0]


def test_a_shared_file_is_the_decks_own_to_the_byte(tmp_path: Path) -> None:
    share_deck(DECK, tmp_path / "given.toml")
    assert (tmp_path / "given.toml").read_bytes() == Path(DECK.source).read_bytes()
    given, faults = load_deck(tmp_path / "given.toml")
    assert given is not None and not faults
    assert given.patterns == DECK.patterns


def test_a_shared_sheet_is_a_pdf_and_tells_how_far_it_is(tmp_path: Path) -> None:
    seen: list[tuple[int, int]] = []
    pages = share_sheet(
        DECK, tmp_path / "a.pdf", ("letters", "counts"), "1 + 2 +", lambda *now: seen.append(now)
    )
    assert pages >= 1
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF-")  # ISO 32000-1, 7.5.2
    assert seen[-1] == (len(DECK.patterns), len(DECK.patterns))


@pytest.mark.parametrize(
    ("name", "says"), [("a.txt", "end the name so"), ("there.toml", "is kept"), ("no/where.toml", "is gone")]
)
def test_what_cannot_be_written_is_said_and_nothing_is_overwritten(
    tmp_path: Path, name: str, says: str
) -> None:
    (tmp_path / "there.toml").write_text("mine")
    with pytest.raises(DeckFileError, match=says):
        share_deck(DECK, tmp_path / name)
    assert (tmp_path / "there.toml").read_text() == "mine"


def test_a_folder_lists_folders_then_decks_and_nothing_hidden(tmp_path: Path) -> None:
    for name in ("b.toml", "A.TOML", ".c.toml", "notes.txt"):
        (tmp_path / name).write_text("")
    for name in ("z", ".y"):
        (tmp_path / name).mkdir()
    assert [path.name for path in listing(tmp_path)] == ["z", "A.TOML", "b.toml"]
    with pytest.raises(DeckFileError, match="is gone"):
        listing(tmp_path / "nowhere")
