"""Finding patterns in the shipped decks."""

from __future__ import annotations

from drillapp.decks.find import BANDS, find, meters
from drillapp.decks.load import load_decks
from drillapp.music import difficulty
from drillapp.music.features import features_of

DECKS, _ = load_decks()
COUNT = sum(len(deck.patterns) for deck in DECKS)


def titles(**asked):
    return [pattern.title for _, pattern in find(DECKS, **asked)]


def test_nothing_asked_finds_all():
    assert len(titles()) == COUNT


def test_words_are_found_in_titles_of_patterns_and_decks_in_any_case():
    assert titles(words="UP into 3 RUN") == []
    assert "Up into 3" in titles(words="into UP")
    assert len(titles(words="staff alone")) >= 15


def test_pattern_text_is_found_too():
    assert titles(words="-u xu") != []


def test_signs_narrow_it_down():
    both = find(DECKS, features=("tie", "mute"))
    assert both
    assert all({"tie", "mute"} <= features_of(pattern.pattern) for _, pattern in both)


def test_meter_difficulty_and_met_narrow_it_down():
    assert all(p.pattern.meter.text == "12/8" for _, p in find(DECKS, meter="12/8"))
    easy = find(DECKS, hardness=(0.0, 0.1))
    assert easy
    assert all(difficulty(p.pattern) <= 0.1 for _, p in easy)
    assert titles(met=lambda pattern: pattern.text == "D D D D") == ["Four steps"]


def test_meters_are_listed_the_most_used_first():
    assert meters(DECKS)[0] == "4/4"
    assert {"3/4", "6/8", "2+2+3/8"} <= set(meters(DECKS))


def test_each_band_of_difficulty_holds_about_a_third_of_the_course():
    for band in BANDS.values():
        assert 0.25 < len(titles(hardness=band)) / COUNT < 0.42
