"""What is warned of in decks, and that the shipped ones give no cause."""

from __future__ import annotations

from collections import Counter

import pytest

from drillapp.decks.check import loop_key, warnings
from drillapp.decks.load import load_decks
from drillapp.decks.read import read_deck
from drillapp.music import hindrances, parse, syncopation
from drillapp.music.course import COURSE, opened_by
from drillapp.music.features import features_of

DECKS, _ = load_decks()
ALL = [(deck, written) for deck in DECKS for written in deck.patterns]


def warned(text, name="mine"):
    deck, faults = read_deck(text, name)
    assert not faults
    return [(fault.line, fault.message) for fault in warnings([deck])]


def deck_of(*texts, head='title = "T"\n'):
    return head + "".join(f'[[pattern]]\ntitle = "{n}"\ntext = "{text}"\n' for n, text in enumerate(texts))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("D D D DU", "DU D D D"),
        ("D- DU -U DU", "D-  DU -U DU | D- DU -U DU"),
        ("D D D D", "D- D- D- D-"),
        ("D D | DU D", "DU D | D D"),
    ],
)
def test_a_loop_begun_elsewhere_is_the_same_loop(one, other):
    meter = "2/4" if "|" in one else "4/4"
    assert loop_key(parse(one, meter)) == loop_key(parse(other, meter))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("D- DU -U DU", "D. DU .U DU"),
        ("D D D D", "D D D X"),
        ("D D D D", "D D D >D"),
        ("D D D D", "D D D U"),
        ("DU D DU D", "DU DU D D"),
        ("XU XU XU XU", "DX DX DX DX"),
        (".U .U .U .U", "D. D. D. D."),
        ("DUD- DUD- DUD- DUD-", "D-DU D-DU D-DU D-DU"),
    ],
)
def test_what_differs_in_rest_mute_accent_hand_or_place_in_the_beat_is_another_loop(one, other):
    assert loop_key(parse(one)) != loop_key(parse(other))


def test_swing_and_meter_make_another_loop():
    assert loop_key(parse("DU DU DU", "3/4")) != loop_key(parse("DU DU DU", "3/4", swing="2:1"))
    assert loop_key(parse("DU DU DU", "3/4")) != loop_key(parse("DUD UDU", "6/8"))


def test_the_same_pattern_twice_is_warned_of_at_the_second():
    ((line, message),) = warned(deck_of("D DU D D", "D D D D", "DU D D D"))
    assert line == 8
    assert "begun elsewhere" in message


def test_strokes_that_no_arm_can_follow_are_warned_of():
    ((_, message),) = warned(deck_of("DDDD DDDD D D", head='title = "T"\ntempo = 140\n'))
    assert "two strokes down" in message
    assert "lower the tempo_range" in message


def test_a_sign_outside_those_the_deck_keeps_to_is_warned_of():
    ((line, message),) = warned(deck_of("D D D D", "D D D X", head='title = "T"\nsigns = ["beat"]\n'))
    assert line == 6
    assert "mute" in message


def test_a_sign_before_its_deck_in_the_course_is_warned_of():
    ((_, message),) = warned(deck_of("D- DU -U DU"), "offbeats")
    assert "tie" in message


def test_the_shipped_decks_give_no_cause_for_a_warning():
    assert [str(fault) for fault in warnings(DECKS)] == []


@pytest.mark.parametrize("deck", DECKS, ids=lambda deck: deck.name)
def test_a_deck_of_the_course_shows_the_sign_it_opens_in_most_patterns(deck):
    opens = {step.deck: step.opens for step in COURSE}[deck.name]
    if opens:
        with_sign = sum(opens in features_of(written.pattern) for written in deck.patterns)
        assert with_sign >= 0.6 * len(deck.patterns)
    opened = opened_by(deck.name)
    assert opened is not None
    for written in deck.patterns:
        assert features_of(written.pattern) <= opened


@pytest.mark.parametrize(("deck", "written"), ALL, ids=[f"{d.name}: {w.title}" for d, w in ALL])
def test_a_shipped_pattern_can_be_played_within_its_tempo_range(deck, written):
    assert written.tempo_low <= written.pattern.tempo <= written.tempo_high
    assert hindrances(written.pattern, written.tempo_high) == ()


def test_no_two_shipped_patterns_have_one_title():
    titles = Counter(written.title.casefold() for _, written in ALL)
    assert [title for title, count in titles.items() if count > 1] == []


def test_a_number_is_a_down_and_a_plus_is_an_up_where_nothing_else_is_opened():
    """Common practice, no source."""
    for deck, written in ALL:
        if "direction" in (opened_by(deck.name) or ()):
            continue
        for place in written.pattern.places:
            if place.struck and place.number == 0:
                assert place.slot.hand == "down", (deck.name, written.title)
            if place.struck and place.of == 2 and place.number == 1:
                assert place.slot.hand == "up", (deck.name, written.title)


def test_beats_are_struck_more_often_than_offbeats():
    """Common practice, no source: in strummed accompaniment the beat carries, the offbeat answers."""
    beats, offbeats, places = 0, 0, [0, 0]
    for _, written in ALL:
        for place in written.pattern.places:
            if place.of == 2:
                places[place.number] += 1
                beats += place.struck and place.number == 0
                offbeats += place.struck and place.number == 1
    assert beats / places[0] > 0.8
    assert 0.4 < offbeats / places[1] < 0.8


def test_ties_are_syncopated_and_the_first_decks_are_not():
    by_name = {deck.name: deck for deck in DECKS}
    assert all(syncopation(w.pattern) == 0 for w in by_name["offbeats"].patterns)
    assert all(syncopation(w.pattern) > 0 for w in by_name["ties"].patterns)
