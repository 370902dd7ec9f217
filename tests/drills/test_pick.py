"""Pick questions: every set is valid, fair and unpredictable, and a pick says which sign was read as what."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
from scipy.stats import chisquare

from drillapp.decks.load import load_decks
from drillapp.drills import NoQuestion, PickQuestion, heard_apart, pick_question
from drillapp.music import FEATURES, look, parse, signs
from drillapp.music.features import sign_set
from drillapp.music.ways import factors

SHOWN = (
    ("letters",),
    ("letters", "counts", "staff"),
    ("staff",),
    ("arrows", "counts"),
    ("letters", "arrows", "counts", "staff", "bows"),
)


def shipped_patterns():
    decks, faults = load_decks()
    assert not faults
    return [one.pattern for deck in decks for one in deck.patterns]


def questions(seed: int, per_pattern: int = 2):
    """Questions on every shipped pattern, for random layers and one or two random features."""
    rng = random.Random(seed)
    for pattern in shipped_patterns():
        for _ in range(per_pattern):
            layers = rng.choice(SHOWN)
            features = rng.sample(FEATURES, rng.choice((1, 2)))
            for size in (4, 2):
                try:
                    yield pick_question(pattern, features, layers, rng, size)
                    break
                except NoQuestion:
                    continue


@pytest.fixture(scope="module")
def many() -> list[PickQuestion]:
    found = list(questions(seed=20260, per_pattern=1))
    assert len(found) > 100
    return found


def test_candidates_differ_to_the_eye_and_to_the_ear(many) -> None:
    for question in many:
        for a, b in combinations(question.candidates, 2):
            assert look(a, question.layers) != look(b, question.layers)
            assert heard_apart(a, b)


def test_candidates_are_valid_patterns_at_one_tempo(many) -> None:
    for question in many:
        for one in question.candidates:
            again = parse(one.text, one.meter.text, one.tempo, one.swing)
            assert again == one
            assert one.tempo == question.base.tempo


def test_a_set_is_every_combination_of_its_ways_once(many) -> None:
    for question in many:
        ways = [len(factor.ways) for factor in question.factors]
        assert len(question.choices) == int(np.prod(ways)) == len(set(question.choices))
        assert ways in ([2], [3], [4], [2, 2])


def test_factors_do_not_disturb_each_other(many) -> None:
    pairs = [question for question in many if len(question.factors) == 2]
    assert pairs
    for question in pairs:
        by_choice = dict(zip(question.choices, question.candidates, strict=True))
        signs_of = {choice: sign_set(one, question.layers) for choice, one in by_choice.items()}
        for a, b in (((0, 0), (1, 0)), ((0, 0), (0, 1))):
            c, d = tuple(x ^ y for x, y in zip(a, b, strict=True)), None
            other = (0, 1) if b == (1, 0) else (1, 0)
            d = tuple(x | y for x, y in zip(b, other, strict=True))
            assert signs_of[a] ^ signs_of[b] == signs_of[other] ^ signs_of[d]
            assert c in by_choice


def test_evidence_names_only_signs_that_the_ways_change_and_covers_what_was_asked(many) -> None:
    for question in many:
        right = question.grade(question.answer)
        assert all(one.correct for one in right)
        assert set(question.asked) <= {feature for one in right for feature in one.features}
        assert set(question.asked) <= {feature for one in right for feature in one.sharp}
        for index in range(len(question.candidates)):
            for number, one in enumerate(question.grade(index)):
                assert one.guess == 1 / len(question.factors[number].ways)
                assert one.features
                assert set(one.features) <= set(question.features(number))
                same = question.choices[index][number] == question.choices[question.answer][number]
                assert one.correct is same
        assert not any(one.correct for one in question.grade(None))


def test_the_written_one_is_anywhere_with_equal_chance() -> None:
    # Pearson's chi-square test (scipy), rejected at 0.001; the seed is fixed.
    pattern, rng = parse("D- DU -U DU"), random.Random(7)
    for size in (2, 3, 4):
        places = [pick_question(pattern, ["tie"], ["letters", "staff"], rng, size).answer for _ in range(250)]
        assert chisquare(np.bincount(places, minlength=size)).pvalue > 0.001


def test_the_one_most_like_the_others_is_right_no_more_often_than_chance(many) -> None:
    # A solver that never reads the page or hears the sound: it picks the candidate whose text has the least
    # total difference from the others (or the most, for the odd one out). It must do no better than 1 in n.
    def distance(a: str, b: str) -> int:
        return sum(x != y for x, y in zip(a, b, strict=False)) + abs(len(a) - len(b))

    for sign in (1, -1):
        excess = variance = 0.0
        rng = random.Random(3)
        for question in many:
            texts = [one.text for one in question.candidates]
            total = [sign * sum(distance(a, b) for b in texts) for a in texts]
            likely = [n for n, value in enumerate(total) if value == min(total)]
            chance = 1 / len(texts)
            excess += (rng.choice(likely) == question.answer) - chance
            variance += chance * (1 - chance)
        assert abs(excess) < 4 * variance**0.5


@pytest.mark.parametrize("order", [str, lambda text: (len(text), text), lambda text: -text.count("D")])
def test_the_order_of_the_candidates_gives_nothing_away(many, order) -> None:
    chance = np.mean([1 / len(question.choices) for question in many])
    hits = np.mean(
        [
            question.answer
            == min(range(len(question.choices)), key=lambda n: order(question.candidates[n].text))
            for question in many
        ]
    )
    assert abs(hits - chance) < 4 * (chance * (1 - chance) / len(many)) ** 0.5


@pytest.mark.parametrize("feature", FEATURES)
def test_every_feature_can_be_asked_somewhere(feature) -> None:
    texts = {"compound": ("DUD D-U", "6/8"), "sixteenth": ("D-DU D-DU D D", "4/4")}
    text, meter = texts.get(feature, ("D- DU -U DU", "4/4"))
    layers = ("letters", "counts", "staff")
    question = pick_question(parse(text, meter), [feature], layers, random.Random(1), 2)
    assert feature in question.grade(question.answer)[0].features


def test_letters_alone_ask_neither_ties_nor_rests() -> None:
    # Common practice, no source: letters do not tell a dash that rings from one that is silent.
    for feature in ("tie", "rest"):
        with pytest.raises(NoQuestion):
            pick_question(parse("D- DU -U DU"), [feature], ["letters", "counts"], random.Random(1), 2)


def test_a_tie_struck_again_is_a_misread_tie() -> None:
    rng = random.Random(4)
    for _ in range(200):
        question = pick_question(parse("D- DU -U DU"), ["tie"], ["staff"], rng, 2)
        (factor,) = question.factors
        names = [way.name for way in factor.ways]
        if question.way_written(0).name == "tied on" and "struck" in names:
            wrong = 1 - question.answer
            (evidence,) = question.grade(wrong)
            assert evidence.features[0] == "tie"
            assert evidence.present and not evidence.correct
            assert question.way_read(0, wrong).name == "struck"
            return
    pytest.fail("no question with a written tie came")


def test_a_wrong_pick_accuses_only_the_signs_that_were_confused() -> None:
    rng = random.Random(2)
    seen = 0
    for _ in range(60):
        question = pick_question(parse("D- DU -U DU"), ["tie"], ["letters", "staff"], rng, 4)
        for index, choice in enumerate(question.choices):
            names = {
                question.factors[0].ways[way].name
                for way in (choice[0], question.choices[question.answer][0])
            }
            if names == {"struck", "muted"}:
                assert question.grade(index)[0].sharp == ("mute",)
                seen += 1
    assert seen


def test_what_changes_in_consequence_is_evidence_but_not_at_stake() -> None:
    # A muted stroke does not ring, so the tie after it becomes a rest in the staff; the X was misread.
    base = parse("D- DU -U DU")
    (factor,) = (
        replace(f, ways=tuple(way for way in f.ways if way.name in ("struck", "muted")))
        for f in factors(base)
        if (f.kind, f.at) == ("stroke", Fraction(3, 2))
    )
    question = PickQuestion(base, ("staff",), ("mute",), (factor,), ((0,), (1,)), 0)
    for index in (0, 1):
        (evidence,) = question.grade(index)
        assert set(evidence.features) == {"mute", "tie", "rest"}
        assert evidence.sharp == ("mute",)


def test_signs_that_are_not_open_are_not_touched() -> None:
    rng = random.Random(5)
    for _ in range(40):
        question = pick_question(
            parse("DU DU DU DU"), ["skip"], ["letters", "staff"], rng, 2, within=["beat", "offbeat"]
        )
        assert set(question.features(0)) <= {"skip", "beat", "offbeat"}


def test_a_numpy_generator_will_do() -> None:
    question = pick_question(parse("D- DU -U DU"), ["tie"], ["staff"], np.random.default_rng(3))
    assert question.written in question.candidates


@pytest.mark.parametrize(
    ("features", "layers", "size", "words"),
    [
        (["slide"], ["staff"], 4, "is not a feature"),
        ([], ["staff"], 4, "no feature"),
        (["tie"], ["tab"], 4, "is not a layer"),
        (["tie"], ["staff"], 5, "2, 3 or 4"),
        (["triplet"], ["staff"], 4, "has no place that asks for triplet"),
    ],
)
def test_what_cannot_be_asked_is_said(features, layers, size, words) -> None:
    with pytest.raises(ValueError, match=words):
        pick_question(parse("D -- -- --"), features, layers, random.Random(1), size)


def test_there_is_no_such_candidate() -> None:
    question = pick_question(parse("D- DU -U DU"), ["tie"], ["staff"], random.Random(1))
    with pytest.raises(IndexError):
        question.grade(4)


def test_a_stop_too_short_to_hear_tells_nothing_apart() -> None:
    # At 200 beats a minute a sixteenth lasts 75 ms (arithmetic), under the bound for a stop.
    assert not heard_apart(parse("DU.U D D D", tempo=200), parse("DU-U D D D", tempo=200))
    assert heard_apart(parse("DU.U D D D", tempo=60), parse("DU-U D D D", tempo=60))


def test_a_muted_stroke_sounds_the_same_with_and_without_a_rest_after_it() -> None:
    # Common practice, no source: X is short, without ring.
    assert not heard_apart(parse("X- D D D"), parse("X. D D D"))
    assert signs(parse("X- D D D"), ["staff"]) != signs(parse("X. D D D"), ["staff"])


def test_an_accent_is_heard_only_beside_a_stroke_without_one() -> None:
    # Candidates are rendered equally loud (ITU-R BS.1770), so one stroke alone cannot be told accented.
    assert not heard_apart(parse("D -- -- --"), parse(">D -- -- --"))
    assert heard_apart(parse("D D -- --"), parse("D >D -- --"))
