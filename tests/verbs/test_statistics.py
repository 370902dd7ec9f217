"""`drillapp statistics`: the table that compares fresh patterns with decks."""

from __future__ import annotations

from drillapp.__main__ import main
from drillapp.files.resources import shipped


def test_the_table_has_a_line_for_each_habit(capsys):
    assert main(["statistics", str(shipped("decks", "ties.toml"))]) == 0
    told = capsys.readouterr().out
    assert "19 patterns of 1 decks and 19 fresh ones" in told
    assert "shows tie" in told
    assert "4/4 in 2  fresh" in told


def test_a_broken_deck_is_named(tmp_path, capsys):
    deck = tmp_path / "a.toml"
    deck.write_text("title = 1\n")
    assert main(["statistics", str(deck)]) == 1
    assert ":1:9: " in capsys.readouterr().err
