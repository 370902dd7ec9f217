"""Writing decks: what is written reads as the deck, and what was written by hand stays."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillapp.decks.deck import Deck, DeckPattern
from drillapp.decks.load import deck_files
from drillapp.decks.read import read_deck
from drillapp.decks.write import write_deck
from drillapp.files.resources import shipped
from drillapp.music import FEATURES, fresh, parse

BY_HAND = '''\
# Lessons in spring; ask Ida about the tempo.
title = "House"   # short
advice = """
Keep the
arm moving."""
tempo = 80

# The easy one
[[pattern]]
title = "Steps" # ok
text = "D D D D"

# Not before June.
[[pattern]]
title = "Walk"
text = """
D  DU D DU |
D- DU -U DU"""
# end
'''


def read(text: str) -> Deck:
    deck, faults = read_deck(text, "house")
    assert deck is not None, faults
    return deck


def told(deck: Deck) -> tuple[object, ...]:
    """What a deck says, wherever its patterns stand."""
    rows = tuple(replace(pattern, line=0) for pattern in deck.patterns)
    return deck.title, deck.advice, deck.signs, deck.layers, rows


@pytest.mark.parametrize("path", deck_files(shipped("decks")), ids=lambda path: path.stem)
def test_a_shipped_deck_written_unchanged_is_the_same_file(path):
    text = path.read_text(encoding="utf-8")
    deck = read(text)
    assert write_deck(deck, text) == text


@pytest.mark.parametrize("path", deck_files(shipped("decks")), ids=lambda path: path.stem)
def test_a_shipped_deck_written_anew_says_the_same(path):
    deck = read(path.read_text(encoding="utf-8"))
    assert told(read(write_deck(deck))) == told(deck)


def test_nothing_changed_is_nothing_written():
    assert write_deck(read(BY_HAND), BY_HAND) == BY_HAND


def test_a_new_title_changes_one_line():
    deck = replace(read(BY_HAND), title="Garden")
    assert write_deck(deck, BY_HAND) == BY_HAND.replace('"House"', '"Garden"')


def test_a_changed_pattern_changes_its_line_and_keeps_its_comment():
    deck = read(BY_HAND)
    steps = replace(deck.patterns[0], pattern=parse("D D DU D", tempo=80))
    text = write_deck(replace(deck, patterns=(steps, *deck.patterns[1:])), BY_HAND)
    assert text == BY_HAND.replace("D D D D", "D D DU D")


def test_patterns_move_with_their_comments():
    deck = read(BY_HAND)
    text = write_deck(replace(deck, patterns=deck.patterns[::-1]), BY_HAND)
    assert text.index("# Not before June.") < text.index('"Walk"') < text.index("# The easy one")
    assert text.startswith("# Lessons in spring")
    assert "D  DU D DU |\nD- DU" in text


def test_a_copy_takes_no_comments_along():
    deck = read(BY_HAND)
    copy = replace(deck.patterns[0], title="Steps again")
    text = write_deck(replace(deck, patterns=(*deck.patterns, copy)), BY_HAND)
    assert text.count("# The easy one") == 1
    assert [pattern.title for pattern in read(text).patterns] == ["Steps", "Walk", "Steps again"]


def test_a_pattern_taken_out_takes_its_comments_along():
    deck = read(BY_HAND)
    text = write_deck(replace(deck, patterns=deck.patterns[:1]), BY_HAND)
    assert "June" not in text
    assert "# The easy one" in text


def test_a_new_pattern_says_all_that_it_needs():
    deck = read(BY_HAND)
    new = DeckPattern("Sway", parse("D-U DUD", "6/8", 56, None), 40, 70, "Two big beats.")
    changed = replace(deck, patterns=(*deck.patterns, new))
    text = write_deck(changed, BY_HAND)
    assert text.startswith(BY_HAND[:60])
    assert told(read(text)) == told(changed)


def test_a_straight_pattern_in_a_swinging_deck_stays_straight():
    text = BY_HAND.replace("tempo = 80", 'tempo = 80\nswing = "2:1"')
    deck = read(text)
    straight = replace(deck.patterns[0], pattern=parse("DU DU DU DU", tempo=80))
    changed = replace(deck, patterns=(straight, *deck.patterns[1:]))
    for before in (text, ""):
        assert told(read(write_deck(changed, before))) == told(changed)


def test_a_text_that_cannot_be_read_any_more_is_written_anew():
    deck = read(BY_HAND)
    assert told(read(write_deck(deck, "title = "))) == told(deck)


def test_patterns_in_one_line_are_written_anew():
    text = 'title = "T"\npattern = [{title = "P", text = "D D D D"}]\n'
    deck = read(text)
    changed = replace(deck, title="U")
    assert told(read(write_deck(changed, text))) == told(changed)


def test_a_long_phrase_is_written_on_several_lines():
    pattern = DeckPattern("Long", parse(" | ".join(["D- DU -U DU"] * 15 + ["D D D D"])), 60, 110)
    deck = Deck("t", "T", "", (pattern,))
    text = write_deck(deck)
    assert max(map(len, text.split("\n"))) <= 80
    assert told(read(text)) == told(deck)


titles = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=20)


@st.composite
def decks(draw):
    count = draw(st.integers(1, 5))
    names = draw(st.lists(titles, min_size=count, max_size=count, unique_by=str.casefold))
    patterns = []
    for name in names:
        feature = draw(st.sampled_from([f for f in FEATURES if f != "compound"]))
        music = fresh((feature,), draw(st.sampled_from(["4/4", "3/4"])), 0.4, draw(st.integers(0, 99)))
        low = draw(st.integers(20, int(music.tempo)))
        high = draw(st.integers(int(music.tempo), 400))
        patterns.append(DeckPattern(name, music, low, high, draw(titles)))
    return Deck("house", draw(titles), draw(titles), tuple(patterns))


@given(decks(), st.data())
@settings(max_examples=40, deadline=None)
def test_any_deck_is_read_back_as_it_was_and_any_edit_too(deck, data):
    text = write_deck(deck)
    assert told(read(text)) == told(deck)
    before = read(text)
    order = data.draw(st.permutations(before.patterns))
    keep = data.draw(st.integers(1, len(order)))
    edited = replace(before, patterns=tuple(order[:keep]))
    assert told(read(write_deck(edited, text))) == told(edited)
