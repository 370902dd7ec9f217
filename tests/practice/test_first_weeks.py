"""A new learner's first week: only what was met is asked, one sign opens at a time, and it goes on."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest
from first_weeks import KINDS_OF_LEARNER, Newcomer, Week, first_week, place
from weeks import START, answer, opened

from drillapp.drills.growth import SIZES, cut, one_at_a_time, size_for, slowed
from drillapp.drills.kinds import KINDS, Performance
from drillapp.drills.strum.grade import Hit
from drillapp.music import FEATURES, parse
from drillapp.music.course import builds_on


@pytest.mark.parametrize("number", range(4), ids=KINDS_OF_LEARNER)
def test_no_question_of_a_first_week_holds_a_sign_that_was_not_met(tmp_path, number) -> None:
    week = first_week(tmp_path, KINDS_OF_LEARNER[number], number, minutes=2)
    assert week.faults == []
    assert week.questions >= 7 * 6
    first = week.first
    assert len(first.pattern.bars) == 1
    if number == 0:
        assert 60 <= first.tempo <= 72
        assert set(first.asked) <= {"beat", "skip"}


def test_without_sound_only_what_needs_no_ear_is_asked_all_week(tmp_path) -> None:
    week = first_week(tmp_path, "knows nothing", 0, sound=False, minutes=2)
    assert week.faults == [] and week.questions >= 7 * 6


def test_who_reads_all_comes_to_sixteenths_on_the_first_day_by_the_placing(tmp_path) -> None:
    clock, held = [START], opened(tmp_path, [START], ("strum_it",))
    held.now = lambda: clock[0]
    week = Week()
    place(held, Newcomer.of("reads all", 3), clock, week)
    assert "sixteenth" in held.met_signs()
    assert clock[0] - START <= 180 + 10


def test_who_reads_all_comes_to_sixteenths_in_the_first_week_by_lessons_alone(tmp_path) -> None:
    week = first_week(tmp_path, "reads all", 3, placing=False, minutes=8)
    assert week.met_on["sixteenth"] <= 7


@pytest.mark.parametrize("sound", [True, False])
def test_whoever_is_not_sure_of_anything_is_placed_nowhere_and_soon(tmp_path, sound) -> None:
    held = opened(tmp_path, [START], ("strum_it",))
    held.hears(sound)
    sitting, pages = held.start_placing(), 0
    while (task := sitting.next()) is not None:
        sitting.answer(task, None, 5.0)
        pages += 1
    assert held.take_place(sitting) == () == held.met_signs()
    assert 1 <= pages <= len(FEATURES)


def test_a_sign_that_fails_the_placing_closes_what_builds_on_it(tmp_path) -> None:
    clock = [START]
    held = opened(tmp_path, clock, ("strum_it",))
    sitting = held.start_placing()
    while (task := sitting.next()) is not None:
        choices = range(len(task.question.candidates))
        wrong = [
            n for n in choices if any("tie" in e.sharp and not e.correct for e in task.question.grade(n))
        ]
        sitting.answer(task, wrong[0] if wrong and "tie" in task.asked else task.question.answer, 5.0, (1,))
    held.take_place(sitting)
    met = set(held.met_signs())
    assert "tie" not in met and {"beat", "offbeat", "skip"} <= met
    assert all(set(builds_on((sign,))) <= met for sign in met)


def test_guessing_places_few(tmp_path) -> None:
    """Two pages of four ways are guessed with a chance of 1 in 16, common arithmetic."""
    rng, placed = random.Random(5), 0
    for number in range(8):
        (folder := tmp_path / str(number)).mkdir()
        held = opened(folder, [START], ("sound_to_page",), number)
        sitting = held.start_placing()
        while (task := sitting.next()) is not None:
            sitting.answer(task, rng.randrange(len(task.question.candidates)), 5.0, (1,))
        placed += "sixteenth" in held.take_place(sitting)
    assert placed <= 3


def test_leaving_the_placing_does_not_open_what_it_asked(tmp_path) -> None:
    held = opened(tmp_path, [START], ("strum_it",))
    assert held.is_new()
    sitting = held.start_placing()
    sitting.answer(sitting.next(), None, 5.0)
    assert held.met_signs() == () and not held.is_new()


def test_one_chosen_deck_asks_what_it_shows_after_the_lesson_on_each_sign(tmp_path) -> None:
    clock = [START]
    held = opened(tmp_path, clock, ("strum_it",))
    sitting = held.start(deck="mutes")
    shown = {"beat", "offbeat", "skip", "mute"}
    task = sitting.next()
    assert task is not None
    reader = Newcomer.of("reads all", 0)
    asked = set()
    while task is not None:
        asked.update(task.asked)
        answer(sitting, task, reader, clock[0])
        task = sitting.next()
    assert asked <= shown | {"tie", "rest", "meter"} and asked


def test_sound_that_goes_in_mid_drill_takes_the_next_question_with_it(tmp_path) -> None:
    clock = [START]
    held = opened(tmp_path, clock, ("page_to_sound", "sound_to_page"))
    held.meet("beat", "skip")
    sitting = held.start()
    task = sitting.next()
    assert KINDS[task.drill].needs_ear
    sitting.prepare()
    held.hears(False)
    sitting.answer(task, None, 5.0, (1,))
    assert not KINDS[sitting.next().drill].needs_ear


def test_a_hand_that_goes_the_wrong_way_opens_no_directions(tmp_path) -> None:
    held = opened(tmp_path, [START], ("strum_it",))
    held.meet("beat", "skip")
    sitting = held.start()
    task = sitting.next()
    seconds = [
        task.pattern.seconds(stroke.at) * task.pattern.tempo / task.tempo for stroke in task.pattern.strokes
    ]
    given = sitting.answer(task, Performance(tuple(Hit(at, "up", False, 0.5) for at in seconds)), 5.0)
    assert any("wrong hand" in slot.verdicts for slot in given.graded.detail.slots)
    assert "direction" not in {feature for one in given.evidence for feature in one.features}
    assert "direction" not in held.open_signs()


def test_questions_grow_with_what_is_read() -> None:
    for less, more in pairwise(SIZES):
        assert less.expected < more.expected
        assert (less.bars, less.ways, less.slots) <= (more.bars, more.ways, more.slots)
    assert (size_for(0.95, opening=True), size_for(0.0)) == (SIZES[0], SIZES[0])
    assert (SIZES[0].bars, SIZES[0].ways, SIZES[0].slots) == (1, 2, 4)


def test_the_first_size_is_slow_but_never_faster_than_the_pattern_is_meant() -> None:
    assert [slowed(parse("D D D D", tempo=own), own * 0.8) for own in (50, 70, 80, 120)] == [50, 60, 64, 72]


def test_a_page_is_cut_to_its_first_bars() -> None:
    page = parse("D D D D | D - D -")
    assert cut(page, 1).text == "D D D D" and cut(page, 2) is page


def test_a_sign_that_opens_is_asked_alone() -> None:
    assert one_at_a_time(("tie", "beat"), {"beat"}) == ("tie",)
    assert one_at_a_time(("beat", "tie"), {"beat"}) == ("beat",)
    assert one_at_a_time((), {"beat"}) == ()
