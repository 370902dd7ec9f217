"""What is said after a pick."""

from __future__ import annotations

import random
from itertools import permutations

import pytest

from drillapp.drills import Explanation, NoQuestion, Told, explain, pick_question
from drillapp.drills.explain import PASSED_BY
from drillapp.music import FEATURES, parse
from drillapp.music.ways import factors
from drillapp.words import answers
from drillapp.words.answers import explained
from drillapp.words.hands import DIRECTED, MOVES, WHOLE, hand_there
from drillapp.words.places import place_name
from drillapp.words.signs import beats_of

ISLAND = parse("D- DU -U DU")
OTHERS = (("DUD X-U", "6/8"), ("DU >D- DUD", "2+2+3/8"), ("D-DU XUDU D .U", "4/4"), ("D- .. -U D-", "4/4"))


def said(*told: Told) -> str:
    return explained(Explanation(told, "tie", ISLAND, (4,), (4,)))


@pytest.mark.parametrize(
    ("text", "meter", "index", "name"),
    [
        # Places are named by their count: common practice, no source.
        ("D- DU -U DU", "4/4", 3, "the + of 2"),
        ("D- DU -U DU", "4/4", 4, "3"),
        ("DUDU D D D", "4/4", 1, "the e of 1"),
        ("DUD D D D", "4/4", 2, "the let of 1"),
        ("DUD DUD", "6/8", 4, "5"),
        ("D D D D | DU D D D", "4/4", 5, "the + of 1 in bar 2"),
        ("D D D D | DU D D D", "4/4", 4, "1 in bar 2"),
        ("DU DU DUD", "2+2+3/8", 6, "3 of beat 3"),
        ("DU DU DUD | DU DU DUD", "2+2+3/8", 13, "3 of beat 3 in bar 2"),
    ],
)
def test_a_place_is_named_by_its_count(text: str, meter: str, index: int, name: str) -> None:
    assert place_name(parse(text, meter), index) == name


def test_a_tie_struck_again_is_said_so() -> None:
    told = Told("stroke", 4, "tied on", "struck")
    assert said(told) == "On 3 the chord rings on. The one you chose strikes it again."
    assert said(Told("stroke", 4, "tied on")) == "On 3 the chord rings on."


def test_where_nothing_rings_the_hand_passes_by() -> None:
    told = Told("stroke", 4, PASSED_BY, "struck")
    assert said(told) == "On 3 the hand passes by. The one you chose strikes it."


def test_a_stroke_that_is_moved_is_told_by_both_places_and_what_the_hand_does() -> None:
    assert said(Told("shift", 2, "here", "a slot later")) == (
        "The stroke stands on 2: the hand strikes there and passes by on the + of 2. "
        "The one you chose passes by on 2 and strikes on the + of 2."
    )
    assert said(Told("shift", 2, "a slot later", "here")) == (
        "The stroke stands on the + of 2: the hand passes by on 2 and strikes there. "
        "The one you chose strikes on 2 already."
    )


def test_no_sentence_says_here_of_a_place() -> None:
    words = (*answers.WRITTEN.values(), *answers.CHOSEN.values(), *answers.MISREAD.values())
    assert not [one for one in words if " here" in one or "next place" in one]


def test_two_misreadings_are_two_sentences_each_with_its_place() -> None:
    told = Told("stroke", 4, "tied on", "struck"), Told("accent", 6, "accented", "plain")
    assert said(*told) == (
        "On 3 the chord rings on where yours strikes it again. "
        "On 4 the stroke is accented where yours leaves the accent out."
    )
    right = Told("stroke", 4, "tied on"), Told("accent", 6, "accented")
    assert said(*right) == "On 3 the chord rings on. On 4 the stroke is accented."


def test_beats_of_a_bar_are_counted() -> None:
    told = Told("meter", 0, "3 beats", "4 beats")
    assert said(told) == "The bar has 3 beats. The one you chose has 4 beats."
    assert (
        said(Told("meter", 0, "2 beats", "1 beats")) == "The bar has 2 beats. The one you chose has 1 beat."
    )
    assert said(told, Told("accent", 6, "plain")).startswith("The bar has 3 beats where yours has 4 beats. ")


def test_swing_is_said_of_all_offbeats() -> None:
    assert said(Told("swing", 0, "swung", "even")) == (
        "The offbeats swing, long-short. The one you chose plays them even."
    )


def test_every_way_of_every_factor_has_its_sentences() -> None:
    seen: dict[str, set[str]] = {}
    for text, meter in (("D- DU -U DU", "4/4"), ("DUD DUD D D", "4/4"), ("D D D", "3/4"), *OTHERS):
        for factor in factors(parse(text, meter)):
            seen.setdefault(factor.kind, set()).update(way.name for way in factor.ways)
    assert set(seen) == {"stroke", "accent", "shift", "hand", "division", "swing", "meter"}
    for kind, names in seen.items():
        if kind == "meter":
            assert all(beats_of(name) for name in names)
            continue
        ways = names | ({PASSED_BY} if kind == "stroke" else set())
        assert ways <= {*MOVES, *DIRECTED, *WHOLE}
        assert ways <= set(answers.WRITTEN) and ways <= set(answers.CHOSEN)
        pairs = set(permutations(ways, 2)) - set(permutations(("tied on", PASSED_BY)))
        assert pairs <= set(answers.MISREAD)


def test_every_question_and_answer_is_said_in_whole_sentences() -> None:
    rng = random.Random(9)
    told = 0
    for text, meter in (("D- DU -U DU", "4/4"), *OTHERS):
        for feature in FEATURES:
            for size in (2, 4):
                try:
                    question = pick_question(
                        parse(text, meter), [feature], ["letters", "counts", "staff"], rng, size
                    )
                except NoQuestion:
                    continue
                for index in (None, *range(len(question.candidates))):
                    sentence = explained(explain(question, index, question.grade(index)))
                    moves = hand_there(explain(question, index, question.grade(index)))
                    for said in (sentence, moves):
                        assert said.endswith(".") and said[0].isupper() and "%" not in said
                    assert "hand" in moves and "stroke falls" not in sentence
                    told += 1
    assert told > 100


@pytest.mark.parametrize(
    ("way", "index", "moves"),
    [  # facts of the trade: the hand goes down on the number and up on the +
        ("tied on", 4, "There the hand goes down without touching the strings."),
        ("struck", 3, "There the hand strikes on its way up."),
        ("up", 2, "The hand swings down first without touching the strings, then strikes up."),
        ("up", 3, "There the hand strikes on its way up."),
        ("a slot later", 2, "The hand strikes it on its way up."),
        ("3 beats", 0, "The hand begins again with the heaviest down-stroke after 3 beats."),
    ],
)
def test_the_hand_is_told_as_it_moves_there(way: str, index: int, moves: str) -> None:
    assert hand_there(Explanation((Told("any", index, way),), "tie", ISLAND, (), ())) == moves


def test_the_verdict_names_the_letters() -> None:
    assert answers.pick_verdict("B", "B") == "Right"
    assert answers.pick_verdict("B", None) == "It was B"
    assert answers.pick_verdict("B", "C") == "Not C: it was B"
    assert answers.written_page(True, "A") == "Written, A"
    assert answers.written_page(False, "A") == "What you heard, A"
    assert answers.chosen_page("D") == "You chose D"
