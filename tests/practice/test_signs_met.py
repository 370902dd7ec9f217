"""Which signs were met, and answers that were given after their signs were looked up."""

from __future__ import annotations

from pathlib import Path

import pytest

from drillapp.decks.load import load_decks
from drillapp.music import FEATURES
from drillapp.practice.practice import Practice
from drillapp.records import HELPED, evidence_of, open_log

START = 1_790_000_000.0


class Clock:
    def __init__(self) -> None:
        self.seconds = START

    def __call__(self) -> float:
        return self.seconds


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def held(tmp_path: Path, clock: Clock) -> Practice:
    return opened(tmp_path, clock)


def opened(folder: Path, clock: Clock) -> Practice:
    decks, faults = load_decks()
    assert not faults
    held = Practice(open_log(folder / "practice.db"), decks, faults, clock, 3)
    held.change("drills", ("page_to_sound",))
    return held


def answer_all(held: Practice, clock: Clock, helped: bool, right: bool = False, most: int = 99) -> None:
    sitting = held.start()
    while most and (task := sitting.next()) is not None:
        question = task.question
        pick = question.answer if right else (question.answer + 1) % len(question.candidates)
        sitting.answer(task, pick, 9.0, helped=helped)
        clock.seconds += 30
        most -= 1


def beliefs(held: Practice) -> list[tuple[float, float]]:
    found = [held.planner.memory.belief(feature, START) for feature in FEATURES]
    return [(belief.mean, belief.count) for belief in found]


def test_a_new_learner_has_met_nothing(held) -> None:
    assert held.met_signs() == ()


def test_a_sign_once_met_stays_met_and_is_this_learners_own(held, tmp_path, clock) -> None:
    held.meet("skip")
    held.meet("beat")
    assert held.met_signs() == ("beat", "skip")
    held.log.close()
    again = opened(tmp_path, clock)
    assert again.met_signs() == ("beat", "skip")
    other = again.log.learners.add("Wren", START)
    assert again.log.settings.get("met_signs", other.id) == ()


def test_what_is_no_sign_cannot_be_met(held) -> None:
    with pytest.raises(ValueError, match="'beats' is not a feature"):
        held.meet("beats")


def test_signs_practised_before_there_were_lessons_count_as_met(held, clock) -> None:
    answer_all(held, clock, helped=False, right=True)
    practised = held.met_signs()
    assert practised
    assert set(practised) == {
        feature for one in held.log.observations(held.learner.id) for feature in one.features
    }
    new = next(feature for feature in FEATURES if feature not in practised)
    held.meet(new)
    assert set(held.met_signs()) == {*practised, new}


def test_a_helped_answer_is_in_the_log_and_says_so(held, clock) -> None:
    answer_all(held, clock, helped=True, most=1)
    (answer,) = held.log.answers()
    assert answer.helped and answer.extra[HELPED] is True
    assert answer.factors
    answer_all(held, clock, helped=False, most=1)
    assert [one.helped for one in held.log.answers()] == [True, False]


def test_a_helped_answer_is_no_evidence(held, clock) -> None:
    answer_all(held, clock, helped=True, most=1)
    (answer,) = held.log.answers()
    assert evidence_of(answer) == ()
    assert held.log.observations() == []


def test_helped_answers_leave_the_memory_as_it_was_now_and_after_a_restart(held, tmp_path, clock) -> None:
    before = beliefs(held)
    answer_all(held, clock, helped=True)
    assert beliefs(held) == before
    held.log.close()
    assert beliefs(opened(tmp_path, clock)) == before


def test_the_same_answers_unhelped_move_the_memory(held, clock) -> None:
    before = beliefs(held)
    answer_all(held, clock, helped=False)
    assert beliefs(held) != before


def test_helped_answers_are_in_no_figure(held, clock) -> None:
    answer_all(held, clock, helped=True)
    assert all(one.first_seen.count == one.met_before.count == 0 for one in held.progress())
    assert not any(one.confusions for one in held.progress())
    assert all(one.expected.count == 0 for one in held.today().readings)


def test_a_summary_counts_only_answers_that_were_given_unhelped(held, clock) -> None:
    sitting = held.start()
    for helped in (True, False):
        task = sitting.next()
        sitting.answer(task, task.question.answer, 9.0, helped=helped)
        clock.seconds += 30
    summary = sitting.summary()
    assert (summary.questions, sitting.answered) == (1, 2)


def test_a_helped_page_tells_a_reading_check_nothing(held, clock) -> None:
    check = held.start_check()
    task = check.next()
    check.answer(task, None, 5.0, helped=True)
    assert check.check is not None and check.check.evidence == []
    clock.seconds += 5
    task = check.next()
    check.answer(task, None, 5.0)
    assert check.check.evidence


def test_helped_answers_say_nothing_of_how_long_questions_take(held, clock) -> None:
    usual = held.questions()
    sitting = held.start()
    while (task := sitting.next()) is not None:
        sitting.answer(task, 0, 400.0, helped=True)
        clock.seconds += 400
    assert held.questions() == usual
