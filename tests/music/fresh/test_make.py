"""Fresh patterns: what is asked for is there, nothing strange is, a hand can play them, none is a met one."""

from __future__ import annotations

from itertools import combinations, pairwise
from statistics import mean

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drillapp.decks.load import load_decks
from drillapp.music import (
    FEATURES,
    Meter,
    Pattern,
    PatternError,
    difficulty,
    fresh,
    hindrances,
    parse,
    syncopation,
)
from drillapp.music.course import builds_on
from drillapp.music.features import features_of
from drillapp.music.fresh.make import same_page

METERS = ("2/4", "3/4", "4/4", "5/4", "2/2", "6/8", "9/8", "12/8", "2+3/8", "2+2+3/8", "3+3+2/8")
IN_TWO = {"offbeat", "triplet", "swing"}


def can_show(features: set[str], text: str) -> bool:
    meter = Meter.parse(text)
    compound = [meter.is_compound(beat) for beat in range(len(meter.beats))]
    return not (all(compound) and features & IN_TWO) and not ("compound" in features and not any(compound))


wishes = st.tuples(
    st.sets(st.sampled_from(FEATURES), min_size=1, max_size=3),
    st.sampled_from(METERS),
    st.floats(0, 1),
    st.integers(0, 10**9),
).filter(lambda wish: can_show(wish[0], wish[1]))


@given(wishes)
@settings(max_examples=300, deadline=None)
def test_a_fresh_pattern_keeps_every_promise(wish):
    features, meter, hard, seed = wish
    pattern = fresh(features, meter, hard, seed)
    present = features_of(pattern)
    assert features <= present
    # A dash that holds a whole beat is read from the first deck on; in 6/8 the plain division is in three.
    assert present - builds_on(features) <= {"beat", "meter", "skip", "compound"}
    assert pattern.meter.text == meter
    assert hindrances(pattern) == ()
    assert parse(pattern.text, meter, pattern.tempo, pattern.swing) == pattern
    assert pattern.strokes[0].at == 0 or "rest" in features
    for number in range(len(pattern.bars)):
        start = number * pattern.meter.length
        assert any(start <= stroke.at < start + pattern.meter.length for stroke in pattern.strokes)


@pytest.mark.parametrize("feature", FEATURES)
def test_every_feature_can_be_asked_for(feature):
    meter = "6/8" if feature == "compound" else "4/4"
    for seed in range(20):
        assert feature in features_of(fresh((feature,), meter, seed / 20, seed))


def test_every_pair_of_features_can_be_asked_for_where_the_meter_has_both():
    for pair in combinations(FEATURES, 2):
        meter = "4/4" if can_show(set(pair), "4/4") else "6/8"
        meter = meter if can_show(set(pair), meter) else "2+2+3/8"
        assert set(pair) <= features_of(fresh(pair, meter, 0.5, 1)), pair


def test_the_same_seed_gives_the_same_pattern():
    assert fresh(("tie", "rest"), "4/4", 0.4, 7) == fresh(("rest", "tie"), "4/4", 0.4, 7)


def test_different_seeds_give_many_patterns():
    texts = {fresh(("tie", "mute"), "4/4", 0.4, seed).text for seed in range(300)}
    assert len(texts) > 150


def test_a_met_pattern_is_never_given_again_at_any_tempo():
    met: list[Pattern] = []
    for seed in range(200):
        pattern = fresh(("offbeat",), "4/4", 0.3, seed % 7, met)
        assert same_page(pattern) not in {same_page(other) for other in met}
        met.append(pattern.at_tempo(50))


def test_what_is_met_may_be_given_as_text():
    given = [fresh(("tie",), "4/4", 0.35, 5)]
    for _ in range(20):
        given.append(fresh(("tie",), "4/4", 0.35, 5, [pattern.text for pattern in given]))
    assert len({pattern.text for pattern in given}) == len(given)


def test_a_met_bar_is_not_given_as_two_bars_either():
    assert same_page(parse("D- DU D- DU | D- DU D- DU")) == same_page(parse("D DU D DU", tempo=120))


def test_where_all_are_met_it_says_so():
    # One beat a bar, nothing but beats: the only page is D.
    with pytest.raises(ValueError, match="is left that was not met"):
        fresh(("beat",), "1/4", 0.2, 3, [parse("D", "1/4")])


@pytest.mark.parametrize(
    ("features", "meter", "hard", "words"),
    [
        (("triplet",), "6/8", 0.5, "6/8 has no beat that divides in two"),
        (("swing",), "12/8", 0.5, "no swing"),
        (("compound",), "4/4", 0.5, "no beat that divides in three"),
        (("tye",), "4/4", 0.5, "'tye' is not a feature"),
        (("tie",), "4/4", 1.5, "from 0"),
        (("tie",), "4/4", float("nan"), "from 0"),
        (("tie",), "7/8", 0.5, "2+2+3/8"),
    ],
)
def test_what_cannot_be_is_refused_with_a_reason(features, meter, hard, words):
    with pytest.raises(ValueError) as raised:
        fresh(features, meter, hard, 1)
    assert words in str(raised.value)


def test_a_wrong_meter_is_a_pattern_error_too():
    with pytest.raises(PatternError):
        fresh(("tie",), "4/5", 0.5, 1)


def test_more_difficulty_asked_for_is_more_difficulty_given():
    for features in (("offbeat",), ("tie",), ("sixteenth", "mute"), ("rest", "accent")):
        means = [
            mean(difficulty(fresh(features, "4/4", hard, seed)) for seed in range(40))
            for hard in (0.1, 0.3, 0.5, 0.7)
        ]
        assert all(after > before - 0.01 for before, after in pairwise(means)), (features, means)
        assert means[-1] > means[0] + 0.04


def test_difficulty_is_met_where_the_signs_allow_it():
    away = [
        abs(difficulty(fresh(("tie", "accent"), "4/4", hard, seed)) - hard)
        for hard in (0.35, 0.4, 0.45, 0.5)
        for seed in range(40)
    ]
    assert mean(away) < 0.05
    assert max(away) < 0.1


def test_ties_are_syncopated_and_plain_beats_are_not():
    assert all(syncopation(fresh(("tie",), "4/4", 0.4, seed)) > 0 for seed in range(50))
    assert all(syncopation(fresh(("offbeat",), "4/4", 0.2, seed)) <= 2 for seed in range(50))


def test_fresh_patterns_are_not_those_of_the_decks_where_these_are_met():
    decks, _ = load_decks()
    shipped = [written.pattern for deck in decks for written in deck.patterns]
    pages = {same_page(pattern) for pattern in shipped}
    assert all(same_page(fresh(("skip",), "4/4", 0.2, seed, shipped)) not in pages for seed in range(100))
