"""Deck files: what is read, and every fault at its place."""

from __future__ import annotations

import textwrap

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillapp.decks.deck import MAX_CHARACTERS, MAX_PATTERNS
from drillapp.decks.faults import text_faults
from drillapp.decks.load import deck_files
from drillapp.decks.read import MAX_LINE, read_deck
from drillapp.decks.toml import string_offsets, tables
from drillapp.files.resources import shipped

WHOLE = """
title = "Around the house"
advice = "Keep the arm moving."
tempo = 80
tempo_range = [60, 110]

[[pattern]]
title = "Front door"
text = "D DU D DU"

[[pattern]]
title = "Back stairs"
meter = "6/8"
tempo = 56
tempo_range = [40, 70]
swing = "2:1"
text = "D-U DUD"
advice = "Two beats a bar."
"""


def faults_of(text: str) -> list[tuple[int, int, str]]:
    deck, faults = read_deck(textwrap.dedent(text).lstrip("\n"), "house")
    assert (deck is None) == bool(faults)
    return [(fault.line, fault.column, fault.message) for fault in faults]


def only_fault(text: str) -> tuple[int, int, str]:
    (fault,) = faults_of(text)
    return fault


def pattern(line: str) -> str:
    return f'title = "T"\n[[pattern]]\ntitle = "P"\n{line}\n'


def test_a_deck_gives_its_patterns_in_order():
    deck, faults = read_deck(WHOLE, "house")
    assert not faults
    assert deck is not None
    assert (deck.name, deck.title, deck.advice) == ("house", "Around the house", "Keep the arm moving.")
    assert [p.title for p in deck.patterns] == ["Front door", "Back stairs"]


def test_a_pattern_takes_from_the_deck_what_it_does_not_say():
    deck, _ = read_deck(WHOLE, "house")
    assert deck is not None
    front, back = deck.patterns
    assert (front.pattern.meter.text, front.pattern.tempo) == ("4/4", 80)
    assert (front.tempo_low, front.tempo_high) == (60, 110)
    assert (back.pattern.meter.text, back.pattern.tempo) == ("6/8", 56)
    assert (back.tempo_low, back.tempo_high) == (40, 70)
    assert (front.pattern.swing, back.pattern.swing) == (None, 2)


def test_a_pattern_knows_its_line():
    deck, _ = read_deck(WHOLE, "house")
    assert deck is not None
    assert [p.line for p in deck.patterns] == [7, 11]


def test_windows_line_ends_and_a_byte_order_mark_change_nothing():
    one, _ = read_deck(WHOLE, "house")
    other, faults = read_deck("\ufeff" + WHOLE.replace("\n", "\r\n"), "house")
    assert not faults
    assert one == other


def test_a_wrong_sign_is_shown_in_the_file():
    assert only_fault(pattern('text = "D DQ D D"'))[:2] == (4, 12)


def test_a_wrong_sign_in_a_text_of_several_lines_is_shown_in_the_file():
    text = '''
        title = "T"
        [[pattern]]
        title = "P"
        text = """
        D D D D |
        D D Q D
        """
        '''
    assert only_fault(text)[:2] == (6, 5)


def test_a_wrong_sign_after_an_escape_is_shown_in_the_file():
    assert only_fault(pattern(r'text = "D\u0020DQ D D"'))[:2] == (4, 17)


def test_every_fault_of_a_file_is_named_at_once():
    found = faults_of(
        """
        title = 5
        tempoo = 80
        [[pattern]]
        title = "One"
        text = "D D D"
        [[pattern]]
        title = "Two"
        text = "D D D D
        [[pattern]]
        title = "Three"
        text = "D D 7 D | D D D D D"
        swing = "9:1"
        tempo_range = [120, 60]
        """
    )
    assert [place[:2] for place in found] == [
        (1, 9),
        (2, 1),
        (5, 14),
        (8, 16),
        (11, 13),
        (11, 27),
        (12, 9),
        (13, 15),
    ]


def test_every_fault_of_one_pattern_is_named_at_once():
    found = text_faults("D DQ D D | D D D | D D D D D", "4/4")
    assert [(fault.line, fault.column) for fault in found] == [(1, 4), (1, 18), (1, 28)]
    assert "bar 2 has 3 of the 4 beats" in found[1].message


@pytest.mark.parametrize(
    ("text", "line", "column", "words"),
    [
        ('title = "T', 1, 11, "closing quote"),
        ("title = T", 1, 9, "text in quotes"),
        ('title "T"', 1, 7, "followed by ="),
        ('title = "T"\ntitle = "U"', 2, 1, "already given"),
        ('title = "T"\n[[pattern]\n', 2, 10, "[[pattern]]"),
        ('title = "T"\ntempo = [60, 80', 2, 16, "not closed"),
        ('title = "T"\n[pattern]\ntitle = "P"', 2, 1, "two brackets"),
        ('title = "T"\npattern = 4', 2, 11, "[[pattern]]"),
        ('title = "T"\ntext = "D D D D"', 2, 1, "belongs to a pattern"),
        ('title = "T"', 1, 12, "no pattern"),
        ("", 1, 1, "no title"),
        ('title = ""\n[[pattern]]\ntitle = "P"\ntext = "D D D D"', 1, 9, "empty"),
        ('title = "a\\nb"\n[[pattern]]\ntitle = "P"\ntext = "D D D D"', 1, 9, "on one line"),
        (f'title = "{"x" * 81}"\n[[pattern]]\ntitle = "P"\ntext = "D D D D"', 1, 9, "81 characters"),
        (pattern('text = "D D D D"\nmeter = "7/8"'), 5, 10, "2+2+3/8"),
        (pattern('text = "D D D D"\nmeter = "4/5"'), 5, 12, "not a note value"),
        (pattern('text = "D D D D"\ntempo = "fast"'), 5, 9, "bare number"),
        (pattern('text = "D D D D"\ntempo = nan'), 5, 9, "20 to 400"),
        (pattern('text = "D D D D"\ntempo = true'), 5, 9, "20 to 400"),
        (pattern('text = "D D D D"\ntempo = 200\ntempo_range = [60, 80]'), 5, 9, "outside its tempo_range"),
        (pattern('text = "D D D D"\nswing = 2020-01-01'), 5, 9, "2:1"),
        (pattern('text = "D D D D"\nadvice = ["x"]'), 5, 10, "a list of 1"),
        (pattern('text = "D D D D"\nmetre = "4/4"'), 5, 1, "did you mean meter"),
        (pattern("text = 4"), 4, 8, "a number"),
        (pattern('text = ". . . ."'), 4, 8, "nothing is struck"),
        (pattern("tempo = 90"), 2, 1, "no text"),
        ('title = "T"\n[[pattern]]\ntext = "D D D D"', 2, 1, "no title"),
        (
            'title = "T"\nsigns = ["tye"]\n[[pattern]]\ntitle = "P"\ntext = "D D D D"',
            2,
            9,
            "choose from beat",
        ),
        ('title = "T"\nlayers = ["paint"]\n[[pattern]]\ntitle = "P"\ntext = "D D D D"', 2, 10, "letters"),
        ("title = " + "9" * 5000, 1, 9, "too long"),
        ("title = " + "[" * 20_000, 1, 9, "two deep"),
    ],
)
def test_a_fault_says_where_it_is_and_what_would_be_right(text, line, column, words):
    found = faults_of(text)
    assert any((fault[0], fault[1]) == (line, column) and words in fault[2] for fault in found), found


def test_two_patterns_of_one_title_are_a_fault_of_the_second():
    body = '[[pattern]]\ntitle = "Steps"\ntext = "D D D D"\n'
    line, _, message = only_fault('title = "T"\n' + body + body.replace("Steps", "STEPS"))
    assert line == 6
    assert "line 3 already has a pattern of this title" in message


def test_a_line_of_a_million_characters_is_refused_in_words():
    found = only_fault(f'title = "{"x" * 1_000_001}"')
    assert f"at most {MAX_CHARACTERS:,}" in found[2]
    line, column, message = only_fault('title = "T"\nadvice = "' + "x" * 900_000 + '"')
    assert (line, column) == (2, MAX_LINE + 1)
    assert "break it up" in message


def test_a_fault_in_every_pattern_is_shown_in_its_own():
    body = "".join(f'[[pattern]]\ntitle = "p{n}\ntext = "D D D"\n' for n in range(50))
    found = faults_of('title = "T"\n' + body)
    assert [place[0] for place in found] == [line for n in range(50) for line in (3 + 3 * n, 4 + 3 * n)]


def test_a_pattern_that_cannot_be_read_at_all_does_not_shift_the_others():
    text = '''
        title = "T"
        [[pattern]]
        title = """never
        [[pattern]]
        title = "P"
        text = "D D Q D"
        '''
    assert (6, 13) in [place[:2] for place in faults_of(text)]


def test_too_many_patterns_are_refused_in_words():
    body = "".join(f'[[pattern]]\ntitle="{n}"\ntext="D D D D"\n' for n in range(MAX_PATTERNS + 1))
    assert "make several decks" in only_fault('title = "T"\n' + body)[2]


def test_a_flood_of_faults_is_cut_off_with_its_count():
    body = "".join(f'[[pattern]]\ntitle="{n}"\ntext="D D"\n' for n in range(500))
    found = faults_of('title = "T"\n' + body)
    assert len(found) == 200
    assert "301 more faults" in found[-1][2]


def test_patterns_written_as_a_list_in_one_line_are_read_too():
    deck, faults = read_deck('title = "T"\npattern = [{title = "P", text = "D D D D"}]', "t")
    assert not faults
    assert deck is not None
    assert deck.patterns[0].pattern.text == "D D D D"


@given(st.text(alphabet="tile=\"D U[]\n\\#'{},.5-", max_size=60))
def test_no_text_at_all_breaks_the_reader(text):
    deck, faults = read_deck(text, "any")
    assert (deck is None) == bool(faults)
    lines = text.split("\n")
    for fault in faults:
        assert 1 <= fault.line <= len(lines)
        assert 1 <= fault.column <= len(lines[fault.line - 1]) + 1


SHIPPED = [path.read_text(encoding="utf-8") for path in deck_files(shipped("decks"))]


@given(st.sampled_from(SHIPPED), st.data())
@settings(deadline=None)
def test_a_slip_of_the_pen_in_a_deck_is_found_or_harmless(text, data):
    at = data.draw(st.integers(0, len(text) - 1))
    until = data.draw(st.integers(at, min(len(text), at + 30)))
    slip = data.draw(st.text(alphabet='"[]=D.-| \n', max_size=3))
    changed = text[:at] + slip + text[until:]
    deck, faults = read_deck(changed, "any")
    assert (deck is None) == bool(faults)
    lines = changed.split("\n")
    for fault in faults:
        assert 1 <= fault.column <= len(lines[fault.line - 1]) + 1


@given(st.text(alphabet="DUX-.| \tq\n\"'\\\u00e9", min_size=1, max_size=40))
def test_characters_of_a_string_value_are_found_in_the_file(value):
    written = value.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t")
    text = f'title = "{written}"'
    offsets = string_offsets(text, 8)
    assert len(offsets) == len(value) + 1
    assert text[offsets[-1]] == '"'
    for offset, character in zip(offsets, value, strict=False):
        assert text[offset] in (character, "\\")


def test_keys_inside_strings_and_comments_are_not_taken_for_keys():
    text = '# title = "no"\nadvice = """\ntitle = "no"\n[[pattern]]\n"""\ntitle = "yes"\n'
    (head,) = tables(text)
    assert sorted(head.entries) == ["advice", "title"]
    assert text[head.entries["title"].value :].startswith('"yes"')
