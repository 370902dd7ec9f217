"""Set work on the learner's side: the plan honours it, the answers report it. Source: design.md, where set
work is what a teacher asks for until a date; the shares are our own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from weeks import DAY, START, opened

from drillapp.music import FEATURES
from drillapp.practice.practice import Practice
from drillapp.records import SET_WORK, SetWork, SetWorkError, open_log
from drillapp.records.set_work import open_work, write_work

clock = [START]


@pytest.fixture
def held(tmp_path: Path) -> Iterator[Practice]:
    clock[0] = START
    made = opened(tmp_path, clock, ("page_to_sound", "sound_to_page"))
    made.begin(*FEATURES)
    yield made
    made.log.close()


def work(held: Practice, **changes: object) -> SetWork:
    until = held.day + timedelta(days=6)
    values: dict[str, object] = {"whose": "Ida", "made": held.now(), "until": until, **changes}
    return SetWork(**values)  # type: ignore[arg-type]


def given(held: Practice, one: SetWork) -> SetWork:
    held.log.set_work.give(one, (held.learner.id,))
    return one


def sit(held: Practice, count: int = 99) -> Counter[str]:
    """A sitting, all read right; what each question was asked for."""
    sitting = held.start()
    asked: Counter[str] = Counter()
    while sum(asked.values()) < count and (task := sitting.next()) is not None:
        asked[task.asked[0]] += 1
        sitting.answer(task, task.question.answer, 20.0, (1,) * len(task.question.candidates))
        clock[0] += 45
    return asked


def test_two_questions_of_three_are_about_the_signs_that_are_set(held: Practice) -> None:
    given(held, work(held, signs=("rest", "mute"), minutes=12))
    assert held.today().minutes == 12
    asked = sit(held)
    assert asked["rest"] + asked["mute"] >= 0.6 * sum(asked.values())
    assert asked["rest"] and asked["mute"]


def test_a_set_sign_that_was_never_met_is_opened_alone(tmp_path: Path) -> None:
    clock[0] = START
    held = opened(tmp_path, clock, ("page_to_sound", "sound_to_page"))
    held.begin("beat", "offbeat", "skip")
    given(held, work(held, signs=("mute",)))
    plan = [item.features for item in held._new_plan(held._drill_sources(), 12).items]
    first = next(features for features in plan if "mute" in features)
    assert first == ("mute",)
    held.log.close()


def test_only_the_decks_that_are_set_are_asked_from(held: Practice) -> None:
    name = held.decks[1].name
    given(held, work(held, decks=(name, "a deck that is not here")))
    assert {source.deck for source in held._drill_sources()} == {name}
    given(held, work(held, decks=("a deck that is not here",), made=held.now() + 1))
    assert len({source.deck for source in held._drill_sources()}) == len(held.decks)


def test_layers_and_pace_that_are_set_hold_while_the_work_runs(held: Practice) -> None:
    own = held.wishes()
    given(held, work(held, layers=("staff",), pace=0.8))
    assert (held.wishes().layers, held.wishes().pace) == (("staff",), 0.8)
    clock[0] += 8 * DAY
    assert held.set_work() is None and held.wishes() == own


def test_the_newest_piece_holds(held: Practice) -> None:
    given(held, work(held, minutes=5))
    newer = given(held, work(held, minutes=20, made=held.now() + 10))
    assert held.set_work() == newer and held.today().minutes == 20


def test_answers_name_the_work_and_tell_how_much_is_done(held: Practice, tmp_path: Path) -> None:
    one = given(held, work(held, minutes=4))
    for _ in range(2):
        sit(held)
        clock[0] += DAY
    sitting = held.start(deck=held.decks[0].name)
    task = sitting.next()
    assert task is not None
    sitting.answer(task, 0, 20.0, (1,) * 4)  # a deck of one's own choice is no set work
    said = [answer.extra.get(SET_WORK) for answer in held.log.answers()]
    assert said[-1] is None and set(said[:-1]) == {one.id}
    done = held.today().work
    assert done is not None and done.work == one and (done.days, done.of) == (2, 3)
    handed = held.log.hand_in(tmp_path / "ida.handin", held.learner.id).path
    with open_log(tmp_path / "teacher.sqlite") as desk:
        desk.collect(handed)
        assert desk.set_work.done(one, (held.learner.id,), held.day) == done


def test_on_a_shared_tablet_it_holds_at_once(held: Practice) -> None:
    group = held.log.classes.add("Tuesday group")
    (student,) = held.log.classes.students()
    held.log.classes.move(student.id, group.id)
    one = work(held, signs=("rest",))
    held.log.set_work.give(one, (group.id,))
    assert held.set_work() == one
    held.log.set_work.end(one.id)
    held.log.set_work.give(one, (student.id,))
    assert held.set_work() == one


def test_a_file_is_opened_for_who_practises_now(held: Practice, tmp_path: Path) -> None:
    one = work(held, signs=("rest",))
    write_work(one, tmp_path / "a.setwork")
    held.take_set_work(open_work(tmp_path / "a.setwork"))
    assert held.set_work() == one
    held.who.choose(held.who.add("Ben").id)
    assert held.set_work() is None
    (tmp_path / "b.setwork").write_text("{}")
    with pytest.raises(SetWorkError, match="another kind"):
        open_work(tmp_path / "b.setwork")
    assert date.fromisoformat("2026-01-01") < one.until
