"""A class's roll. Sources: RFC 4180 (CSV); the encodings by Python's own codecs; what spreadsheets write
("common practice", no source): semicolons where the comma is the decimal mark, UTF-16 or Windows-1252."""

from __future__ import annotations

from pathlib import Path

import pytest

from drillapp.desk.roll import MOST_NAMES, RollRefused, roll_in_file, roll_in_text

NAMES = ("Zoë Åberg", "José Muñoz", "Łucja Nowak")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_names_a_line_in_every_usual_encoding(encoding: str, ending: str, tmp_path: Path) -> None:
    (tmp_path / "roll.txt").write_bytes(ending.join(NAMES).encode(encoding))
    assert roll_in_file(tmp_path / "roll.txt").names == NAMES


def test_an_older_spreadsheets_western_letters(tmp_path: Path) -> None:
    (tmp_path / "roll.csv").write_bytes("Name;Class\nZoë Åberg;3b\nJosé Muñoz;3b\n".encode("cp1252"))
    assert roll_in_file(tmp_path / "roll.csv").names == ("Zoë Åberg", "José Muñoz")


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_a_table_with_first_and_last_names(mark: str) -> None:
    text = "\n".join(mark.join(row) for row in (("No", "Surname", "First name"), ("1", "Tamm", "Carla")))
    assert roll_in_text(text).names == ("Carla Tamm",)


def test_a_table_without_a_head_gives_its_first_column_and_quotes_are_read() -> None:
    assert roll_in_text('"Tamm, Carla",3b\nDov,3b').names == ("Tamm, Carla", "Dov")


def test_empty_lines_are_passed_over_and_equal_names_are_told() -> None:
    roll = roll_in_text("\n  Carla  \n\nDov\ncarla\n")
    assert roll.names == ("Carla", "Dov", "carla")
    assert roll.doubled == ("Carla", "carla")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no name in it"),
        ("Name;Class\n;3b\n", "no name in it"),
        ("Ana\n" * 2000, f"2,000 lines; a class has at most {MOST_NAMES}"),
        ("Ana\n" + "x" * 61, "Line 2: A name has 1 to 60 characters; this one has 61"),
        ("Ana\n\nB\u202en", "Line 3: A name is letters"),
        ("A\0na", "no text"),
    ],
)
def test_what_cannot_be_a_roll_says_where_and_why(text: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(RollRefused, match=words):
        roll_in_text(text)
    path = tmp_path / "roll.csv"
    path.write_text(text)
    with pytest.raises(RollRefused, match=words) as refused:
        roll_in_file(path)
    assert str(refused.value).startswith(str(path))


def test_a_file_that_is_none_or_too_large_is_refused(tmp_path: Path) -> None:
    (tmp_path / "big.csv").write_bytes(b"a" * 300_000)
    for path in (tmp_path, tmp_path / "none.csv", tmp_path / "big.csv"):
        with pytest.raises(RollRefused, match="cannot be read as a roll"):
            roll_in_file(path)
