"""The sentence after an answer."""

from __future__ import annotations

import random

import pytest

from drillapp.drills import Explanation, NoQuestion, PickQuestion, explain, pick_question, place_name
from drillapp.music import FEATURES, parse


def explained(question: PickQuestion, index: int | None) -> Explanation:
    return explain(question, index, question.grade(index))


def test_a_tie_struck_again_is_said_so() -> None:
    rng = random.Random(1)
    for _ in range(300):
        question = pick_question(parse("D- DU -U DU"), ["tie"], ["letters", "staff"], rng, 2)
        names = {way.name for way in question.factors[0].ways}
        if (
            names == {"struck", "tied on"}
            and question.way_written(0).name == "tied on"
            and question.factors[0].at == 2
        ):
            told = explained(question, 1 - question.answer)
            assert told.sentence == "On 3 the chord rings on. The one you chose strikes it again."
            assert "strings keep ringing" in told.advice
            assert told.places == told.chosen_places == (4,)
            assert explained(question, question.answer).sentence == "On 3 the chord rings on."
            assert explained(question, None).sentence == "On 3 the chord rings on."
            return
    pytest.fail("no such question came")


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
    ],
)
def test_a_place_is_named_by_its_count(text, meter, index, name) -> None:
    assert place_name(parse(text, meter), index) == name


def test_every_question_and_answer_has_a_sentence_and_places_to_mark() -> None:
    rng = random.Random(9)
    told = 0
    for text, meter in (
        ("D- DU -U DU", "4/4"),
        ("DUD X-U", "6/8"),
        ("DU >D- DUD", "2+2+3/8"),
        ("D-DU XUDU D .U", "4/4"),
    ):
        for feature in FEATURES:
            for size in (2, 4):
                try:
                    question = pick_question(
                        parse(text, meter), [feature], ["letters", "counts", "staff"], rng, size
                    )
                except NoQuestion:
                    continue
                for index in (None, *range(len(question.candidates))):
                    found = explained(question, index)
                    assert found.sentence.endswith(".") and found.sentence[0].isupper()
                    assert found.advice and found.places and found.chosen_places
                    assert max(found.places) < len(question.written.places)
                    chosen = question.written if index is None else question.candidates[index]
                    assert max(found.chosen_places) < len(chosen.places)
                    told += 1
    assert told > 100
