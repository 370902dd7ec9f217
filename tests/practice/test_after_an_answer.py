"""After an answer: taken back until the next question, and another like the one that was misread.

Source: the design, sections 5 and 7; the rest is common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from drillapp.decks.load import load_decks
from drillapp.drills.kinds import KINDS
from drillapp.drills.like import misread
from drillapp.learning import Memory
from drillapp.music import FEATURES
from drillapp.practice.practice import Practice
from drillapp.practice.sitting import Sitting
from drillapp.records import Answer, open_log

START = 1_790_000_000.0


class Held:
    """A practice with a clock of its own, and a sitting of one kind of question."""

    def __init__(self, folder: Path, kind: str, seed: int = 3) -> None:
        self.seconds = START
        self.path = folder / "practice.db"
        self.practice = self.opened(seed)
        self.practice.change("drills", (kind,))
        self.sitting = self.practice.start()

    def opened(self, seed: int = 3) -> Practice:
        decks, faults = load_decks()
        assert not faults
        return Practice(open_log(self.path), decks, faults, lambda: self.seconds, seed)

    def answers(self) -> tuple[Answer, ...]:
        return self.practice.log.answers(self.practice.learner.id)

    def beliefs(self, practice: Practice | None = None) -> list[tuple[float, int]]:
        memory: Memory = (practice or self.practice).planner.memory
        return [(memory.belief(one, START + 1e6).mean, memory.belief(one, START).count) for one in FEATURES]

    def give(self, sitting: Sitting, right: bool):
        """Answer the next question, rightly or with another candidate (Not sure where there is none)."""
        task = sitting.next()
        assert task is not None
        self.seconds += 30
        return sitting.answer(task, given(task, right), 12.0)


def given(task, right: bool):
    if task.question is None:
        return None
    answer = task.question.answer
    return answer if right else (answer + 1) % len(task.question.candidates)


@pytest.fixture(params=["page_to_sound", "sound_to_page"])
def held(request, tmp_path: Path) -> Held:
    return Held(tmp_path, request.param)


def test_all_is_as_before_an_answer_that_is_taken_back(held: Held) -> None:
    held.give(held.sitting, True)
    before = held.beliefs(), held.sitting.answered, held.sitting.summary(), held.practice.progress()
    at, days = held.seconds, held.practice.days()
    held.give(held.sitting, False)
    assert held.beliefs() != before[0]
    assert held.sitting.take_back() == ""
    held.seconds = at  # looked at for the same moment, since memories fade
    after = held.beliefs(), held.sitting.answered, held.sitting.summary(), held.practice.progress()
    assert after[0] == before[0]
    assert after[1] == before[1]
    assert (after[2].questions, after[2].lines) == (before[2].questions, before[2].lines)
    assert held.practice.days() == days
    assert after[3] == before[3]
    counts = held.practice.known
    assert counts.tally.answers == counts.rows == 1
    assert len(held.answers()) == 1


def test_a_restart_remembers_nothing_of_it(held: Held) -> None:
    held.give(held.sitting, True)
    held.give(held.sitting, False)
    held.sitting.take_back()
    held.practice.log.close()
    again = held.opened()
    assert held.beliefs(again) == held.beliefs()
    left = again.log.sessions.unfinished(again.learner.id)
    assert [one.answered for one in left] == [1]


def test_the_question_stands_again_and_is_no_evidence_then(held: Held) -> None:
    first = held.give(held.sitting, False)
    before = held.sitting.answered
    held.sitting.take_back()
    unread = held.beliefs()
    result = held.sitting.answer(first.task, given(first.task, True), 3.0)
    assert result.helped and result.right
    assert held.sitting.answered == before
    assert held.beliefs() == unread
    (answer,) = held.answers()
    assert answer.pick == answer.written and answer.extra["helped"] is True
    assert held.practice.log.observations(held.practice.learner.id) == []
    assert held.sitting.summary().questions == 0


def test_only_the_last_answer_is_taken_back_and_only_until_the_next_question(held: Held) -> None:
    assert not held.sitting.may_take_back
    held.give(held.sitting, True)
    assert held.sitting.may_take_back
    held.sitting.next()
    assert not held.sitting.may_take_back
    held.sitting.take_back()
    assert len(held.answers()) == 1


def test_the_last_answer_of_a_drill_taken_back_lets_it_go_on(held: Held) -> None:
    while not held.sitting.over:
        held.give(held.sitting, True)
    held.sitting.take_back()
    assert not held.sitting.over
    assert len(held.practice.log.sessions.unfinished(held.practice.learner.id)) == 1


def test_the_next_question_that_was_made_ready_stays(held: Held) -> None:
    result = held.give(held.sitting, True)
    held.sitting.take_back()
    ahead = held.sitting.prepare()
    held.sitting.answer(result.task, given(result.task, True), 3.0)
    assert held.sitting.next() is ahead


def test_another_like_it_asks_the_misread_sign_on_a_page_of_its_own(held: Held) -> None:
    result = held.give(held.sitting, False)
    met = held.practice.met()
    signs = misread(result.graded, result.task.asked)
    another = held.sitting.another(result)
    assert another is not None and signs
    assert another.drill == result.task.drill and another.layers == result.task.layers
    assert set(another.asked) <= set(signs)
    assert another.pattern.text != result.task.pattern.text
    assert another.first_seen and another.pattern.text not in met
    graded = KINDS[another.drill].grade(another, given(another, True), float(another.tempo))
    assert set(another.asked) <= {feature for one in graded.evidence for feature in one.sharp}


def test_it_is_in_the_log_and_has_no_number_in_the_drill(held: Held) -> None:
    result = held.give(held.sitting, False)
    another = held.sitting.another(result)
    held.seconds += 30
    answered, before = held.sitting.answered, held.beliefs()
    assert held.sitting.answer(another, given(another, True), 9.0).counted
    assert held.sitting.answered == answered
    assert held.beliefs() != before
    assert len(held.answers()) == 2
    assert held.sitting.summary().questions == 1
    (row,) = held.practice.log.sessions.unfinished(held.practice.learner.id)
    assert row.answered == 1
    following = held.sitting.next()
    assert following is not None and following.number == 2


def test_another_like_it_can_be_taken_back_too(held: Held) -> None:
    result = held.give(held.sitting, False)
    before = held.beliefs()
    another = held.sitting.another(result)
    held.sitting.answer(another, given(another, False), 9.0)
    held.sitting.take_back()
    assert held.beliefs() == before
    assert held.sitting.answered == 1
    assert len(held.answers()) == 1


def test_what_was_read_right_has_no_other_like_it(held: Held) -> None:
    assert held.sitting.another(held.give(held.sitting, True)) is None


@pytest.mark.parametrize("kind", ["strum_it", "write_it_down"])
def test_a_page_not_sure_of_has_another_like_it(tmp_path: Path, kind: str) -> None:
    held = Held(tmp_path, kind)
    result = held.give(held.sitting, False)
    another = held.sitting.another(result)
    assert another is not None and another.drill == result.task.drill
    assert another.pattern.text != result.task.pattern.text


def test_a_page_of_a_check_taken_back_tells_the_check_nothing(tmp_path: Path) -> None:
    held = Held(tmp_path, "strum_it")
    sitting = held.practice.start_check()
    check = sitting.check
    assert check is not None
    sitting.next()
    before = check.finding()
    result = held.give(sitting, False)
    assert check.finding() != before
    assert sitting.another(result) is None
    sitting.take_back()
    assert check.finding() == before
    assert sitting.answered == 0
