"""The table of what builds on what."""

from __future__ import annotations

import pytest

from drillapp.decks.load import deck_files, load_decks
from drillapp.files.resources import shipped
from drillapp.music import FEATURES, LAYERS, parse, signs
from drillapp.music.course import BUILDS_ON, COURSE, builds_on, opened_by, place_of
from drillapp.music.features import features_of


def test_every_feature_stands_in_the_table():
    assert set(BUILDS_ON) == set(FEATURES)


@pytest.mark.parametrize("feature", FEATURES)
def test_nothing_builds_on_itself(feature):
    assert all(feature not in builds_on([base]) for base in BUILDS_ON[feature])


def test_everything_builds_on_the_beat():
    assert all("beat" in builds_on([feature]) for feature in FEATURES)


def test_a_tie_builds_on_what_it_is_written_with():
    assert builds_on(["tie"]) == {"tie", "skip", "offbeat", "beat"}


def test_every_feature_is_opened_by_one_deck():
    assert sorted(step.opens for step in COURSE if step.opens) == sorted({*FEATURES})


def test_a_deck_comes_after_those_it_builds_on():
    for step in COURSE:
        assert all(place_of(deck) < place_of(step.deck) for deck in step.after), step.deck


def test_a_deck_opens_a_sign_only_after_those_that_the_sign_builds_on():
    for step in COURSE:
        if step.opens:
            opened = opened_by(step.deck)
            assert opened is not None
            assert builds_on([step.opens]) <= opened, step.deck


def test_every_deck_of_the_course_is_shipped_and_every_shipped_deck_is_of_the_course():
    assert {path.stem for path in deck_files(shipped("decks"))} == {step.deck for step in COURSE}


def test_a_deck_outside_the_course_opens_nothing_and_comes_last():
    assert opened_by("mine") is None
    assert place_of("mine") == len(COURSE)


def test_features_of_a_pattern_are_those_of_its_signs_on_all_layers():
    decks, _ = load_decks()
    for deck in decks:
        for written in deck.patterns:
            shown = {sign.feature for sign in signs(written.pattern, LAYERS)}
            assert features_of(written.pattern) == shown


def test_the_push_shows_a_tie():
    assert features_of(parse("D- DU -U DU")) == {"beat", "offbeat", "skip", "tie", "meter"}


def test_a_deck_that_only_mixes_opens_no_sign_of_its_own():
    steps = {step.deck: step for step in COURSE}
    mixed = opened_by("mixed-eighths")
    assert mixed <= set(FEATURES)
    assert mixed == frozenset().union(*(opened_by(deck) for deck in steps["mixed-eighths"].after))


def test_a_deck_opens_all_that_its_ways_back_have_opened():
    # Two ways lead back from mixed eighths to the first deck, and every step of both counts.
    for step in COURSE:
        for before in step.after:
            assert opened_by(before) <= opened_by(step.deck)
    assert opened_by("claves") >= {
        "beat",
        "offbeat",
        "meter",
        "tie",
        "rest",
        "mute",
        "accent",
        "sixteenth",
        "compound",
    }


def test_every_step_says_in_one_line_why_it_stands_there():
    for step in COURSE:
        assert step.why.endswith(".") and "\n" not in step.why and 20 < len(step.why) <= 110, step.deck


# The order of the course is that of teaching strumming: common practice, no source.


def test_eighths_in_downs_and_song_strums_are_among_the_first():
    assert place_of("eighth-downs") < 4
    assert place_of("folk-strums") < 7


def test_song_strums_wait_for_nothing_that_they_do_not_show():
    decks = {deck.name: deck for deck in load_decks()[0]}
    shown = frozenset().union(*(features_of(one.pattern) for one in decks["folk-strums"].patterns))
    assert opened_by("folk-strums") == shown


def test_swing_is_had_by_ear_before_triplets_are_read():
    assert place_of("swing") < place_of("triplets")
    assert "triplet" not in opened_by("swing")
    assert "swing" in opened_by("triplets")


def test_phrases_of_several_bars_come_in_the_middle():
    assert len(COURSE) / 3 < place_of("phrases") < len(COURSE) * 2 / 3
    decks = {deck.name: deck for deck in load_decks()[0]}
    assert all(len(one.pattern.bars) > 1 for one in decks["phrases"].patterns)


def test_the_staff_alone_is_a_track_beside_that_nothing_waits_for():
    steps = {step.deck: step for step in COURSE}
    assert steps["staff-alone"].beside
    assert place_of("staff-alone") < len(COURSE) * 2 / 3
    assert {step.deck for step in COURSE if "staff-alone" in step.after} == set()


def test_quarters_come_before_eighths_and_eighths_before_sixteenths():
    order = [place_of(deck) for deck in ("on-the-beat", "offbeats", "mixed-eighths", "sixteenths")]
    assert order == sorted(order)
