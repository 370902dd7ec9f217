"""What there is to say after an answer: the facts that a sentence is made of."""

from __future__ import annotations

import random

import pytest

from drillapp.drills import Explanation, NoQuestion, PickQuestion, Told, explain, pick_question
from drillapp.music import FEATURES, parse


def explained(question: PickQuestion, index: int | None) -> Explanation:
    return explain(question, index, question.grade(index))


def test_a_tie_struck_again_is_told_with_its_sign_and_place() -> None:
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
            assert told.told == (Told("stroke", 4, "tied on", "struck"),)
            assert told.sign == "tie" and told.pattern == question.base
            assert told.places == told.chosen_places == (4,)
            as_written = (Told("stroke", 4, "tied on"),)
            assert explained(question, question.answer).told == as_written
            assert explained(question, None).told == as_written
            return
    pytest.fail("no such question came")


def test_every_question_and_answer_has_something_to_tell_and_places_to_mark() -> None:
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
                    misread = index is not None and index != question.answer
                    assert found.told and all((one.read is not None) == misread for one in found.told)
                    assert found.sign in FEATURES and found.places and found.chosen_places
                    assert max(found.places) < len(question.written.places)
                    chosen = question.written if index is None else question.candidates[index]
                    assert max(found.chosen_places) < len(chosen.places)
                    told += 1
    assert told > 100
