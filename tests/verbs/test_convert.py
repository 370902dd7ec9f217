"""`drillapp convert`: what goes out comes back, and what is no strum pattern is refused in words."""

from __future__ import annotations

import pytest

from drillapp.__main__ import main
from drillapp.decks.load import load_deck
from drillapp.files.resources import shipped


def patterns(path):
    deck, faults = load_deck(path)
    assert deck is not None, faults
    return [(p.pattern.text, p.pattern.meter.text, p.pattern.swing) for p in deck.patterns]


@pytest.mark.parametrize("name", ["ties", "rests", "compound", "swing", "five-and-seven", "against-the-hand"])
@pytest.mark.parametrize("ending", [".musicxml", ".mxl"])
def test_a_deck_comes_back_from_musicxml(name, ending, tmp_path):
    deck = shipped("decks", f"{name}.toml")
    middle, back = tmp_path / f"out{ending}", tmp_path / "back.toml"
    assert main(["convert", str(deck), str(middle)]) == 0
    assert main(["convert", str(middle), str(back), "--title", "Back"]) == 0
    before, after = patterns(deck), patterns(back)
    assert [row[1:] for row in before] == [row[1:] for row in after]
    deck_before, deck_after = load_deck(deck)[0], load_deck(back)[0]
    assert deck_before is not None
    assert deck_after is not None
    assert deck_after.title == "Back"
    for one, other in zip(deck_before.patterns, deck_after.patterns, strict=True):
        assert one.pattern.strokes == other.pattern.strokes


def test_a_deck_comes_back_from_midi(tmp_path):
    deck = shipped("decks", "ties.toml")
    middle, back = tmp_path / "out.mid", tmp_path / "back.toml"
    assert main(["convert", str(deck), str(middle)]) == 0
    assert middle.read_bytes().startswith(b"MThd")
    assert main(["convert", str(middle), str(back)]) == 0
    assert load_deck(back)[0] is not None


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("a.musicxml", b"<not", "a.musicxml"),
        ("a.mid", b"", "a.mid"),
        ("a.toml", b"title = ", ":1:8: "),
        ("a.doc", b"", "this kind is not known"),
        ("gone.mid", None, "no such file"),
        ("gone.toml", None, "no such file"),
    ],
)
def test_what_cannot_be_read_is_named_and_nothing_is_written(name, data, words, tmp_path, capsys):
    source, target = tmp_path / name, tmp_path / "out.musicxml"
    if data is not None:
        source.write_bytes(data)
    assert main(["convert", str(source), str(target)]) == 1
    assert words in capsys.readouterr().err
    assert not target.exists()


def test_a_place_that_cannot_be_written_is_named(tmp_path, capsys):
    deck = str(shipped("decks", "ties.toml"))
    for target in ("gone/a.mid", "gone/a.musicxml"):
        assert main(["convert", deck, str(tmp_path / target)]) == 1
        assert "no folder" in capsys.readouterr().err
    assert main(["convert", deck, str(tmp_path / "a.doc")]) == 1
    assert "not known" in capsys.readouterr().err
