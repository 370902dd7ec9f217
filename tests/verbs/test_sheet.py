"""`drillapp sheet`: a pattern or a deck as a page."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from drillapp.__main__ import main
from drillapp.files.resources import shipped

SVG = "{http://www.w3.org/2000/svg}"


def test_a_pattern_becomes_a_page(drillapp, tmp_path):
    done = drillapp("sheet", "D- DU -U DU", "--layers", "staff,counts", "-o", "walk.svg")
    assert (done.returncode, done.stdout) == (0, "")
    root = ET.parse(tmp_path / "walk.svg").getroot()
    assert root.tag == f"{SVG}svg"
    assert root.find(f"{SVG}title").text == "D- DU -U DU"


def test_a_deck_becomes_a_page_of_all_its_patterns(tmp_path):
    out = tmp_path / "deck.svg"
    assert main(["sheet", str(shipped("decks", "ties.toml")), "-o", str(out)]) == 0
    root = ET.parse(out).getroot()
    assert root.find(f"{SVG}title").text == "Ties and the push"
    one = tmp_path / "one.svg"
    assert main(["sheet", "D- DU -U DU", "-o", str(one)]) == 0
    assert float(root.get("height")) > 15 * float(ET.parse(one).getroot().get("height")) * 0.5


def test_a_deck_is_shown_on_the_layers_it_asks_for(tmp_path):
    out = tmp_path / "deck.svg"
    assert main(["sheet", str(shipped("decks", "staff-alone.toml")), "-o", str(out)]) == 0
    plain = out.stat().st_size
    deck = str(shipped("decks", "staff-alone.toml"))
    assert main(["sheet", deck, "--layers", "staff,counts,letters", "-o", str(out)]) == 0
    assert out.stat().st_size > plain


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["D D D"], "pattern:1:6"),
        (["gone.toml"], "gone.toml:1:1: there is no such file"),
        (["D D D D", "--layers", "paint"], "'paint' is not a layer"),
        (["D D D D", "--layers", ""], "no layer is shown"),
    ],
)
def test_a_fault_in_what_is_given_is_named_and_nothing_is_written(arguments, words, tmp_path, capsys):
    out = tmp_path / "a.svg"
    assert main(["sheet", *arguments, "-o", str(out)]) == 1
    assert words in capsys.readouterr().err
    assert not out.exists()


def test_a_broken_deck_is_named_with_all_its_faults(tmp_path, capsys):
    deck = tmp_path / "a.toml"
    deck.write_text('title = 1\n[[pattern]]\ntitle = "P"\ntext = "D D D"\n')
    assert main(["sheet", str(deck), "-o", str(tmp_path / "a.svg")]) == 1
    told = capsys.readouterr().err
    assert ":1:9: " in told
    assert ":4:14: " in told


def test_an_ending_it_cannot_write_is_named(tmp_path, capsys):
    assert main(["sheet", "D D D D", "-o", str(tmp_path / "a.doc")]) == 1
    assert ".svg" in capsys.readouterr().err


@pytest.mark.parametrize(("ending", "magic"), [(".pdf", b"%PDF-"), (".png", b"\x89PNG"), (".svg", b"<svg")])
def test_patterns_and_decks_are_written_in_each_kind(ending, magic, tmp_path):
    for what in ("D- DU -U DU", str(shipped("decks", "swing.toml"))):
        out = tmp_path / f"out{ending}"
        assert main(["sheet", what, "-o", str(out)]) == 0
        assert out.read_bytes().startswith(magic)


def test_an_answer_key_makes_the_handout_longer(tmp_path):
    out = tmp_path / "out.pdf"
    deck = str(shipped("decks", "ties.toml"))
    assert main(["sheet", deck, "--blank-counts", "-o", str(out)]) == 0
    plain = out.stat().st_size
    assert main(["sheet", deck, "--blank-counts", "--answer-key", "--paper", "Letter", "-o", str(out)]) == 0
    assert out.stat().st_size > plain


def test_an_unknown_paper_is_named(tmp_path, capsys):
    deck = str(shipped("decks", "ties.toml"))
    assert main(["sheet", deck, "--paper", "A99", "-o", str(tmp_path / "out.pdf")]) == 1
    assert "'A99' is not a paper" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("out", "words"), [("gone/a.pdf", "there is no folder"), ("folder.svg", "is a folder")]
)
def test_a_place_that_cannot_be_written_is_named(out, words, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "folder.svg").mkdir()
    assert main(["sheet", "D D D D", "-o", out]) == 1
    assert words in capsys.readouterr().err
