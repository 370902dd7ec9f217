"""What Today promises is what comes: weeks of drills of simulated learners, without a window."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from weeks import DAY, START, Reader, answer, days, line_of, opened

from drillapp.drills.plan import NO_FRESH, WAITS
from drillapp.practice.practice import Practice

HANDS = ("strum_it", "write_it_down")
PICKS = ("page_to_sound", "sound_to_page")


@pytest.mark.parametrize(
    ("number", "drills", "count"), [(0, HANDS, 21), (1, HANDS, 21), (2, HANDS, 21), (3, PICKS, 3)]
)
def test_every_question_stands_under_its_line_in_the_number_promised(tmp_path, number, drills, count) -> None:
    clock, reader = [START], Reader.drawn(number)
    held = opened(tmp_path, clock, drills, number)
    held.change("minutes", 2)
    kinds = set()
    for drill in days(held, clock, reader, count):
        assert sum(drill.promised.values()) == sum(drill.given.values())
        # A question that stands under another line says so, and nothing else is said.
        moved = [(change.planned.line, change.instead.line) for change in drill.changes]
        assert drill.promised - Counter(was for was, _ in moved) + Counter(now for _, now in moved) == (
            drill.given
        )
        assert all(task.change is None or task.change.instead.line == line_of(task) for task in drill.tasks)
        kinds |= drill.given.keys()
        for task in drill.tasks:
            assert (task.why == "fresh") <= task.first_seen, "what is promised fresh was met before"
    assert len({why for _, why in kinds}) >= (3 if count > 7 else 1)


class Known(Reader):
    """Someone who reads everything."""

    def reads(self, features: tuple[str, ...], now: float) -> bool:
        return True


class Blind(Reader):
    """Someone who reads nothing and says so."""

    def reads(self, features: tuple[str, ...], now: float) -> bool:
        return False


def first_day(folder: Path, reader: type[Reader], minutes: int = 15):
    clock = [START]
    held = opened(folder, clock, HANDS)
    held.change("minutes", minutes)
    drawn = Reader.drawn(0)
    (drill,) = days(held, clock, reader(drawn.truth, drawn.rng), 1)
    return drill


def test_a_first_drill_opens_signs_as_it_goes_and_promises_them_from_the_start(tmp_path) -> None:
    drill = first_day(tmp_path, Known)
    assert ("offbeat", "reach") in drill.promised
    assert drill.given == drill.promised and not drill.changes


def test_a_sign_waits_where_what_it_builds_on_is_misread_and_that_is_said(tmp_path) -> None:
    drill = first_day(tmp_path, Blind)
    assert ("offbeat", "reach") in drill.promised
    assert not any("offbeat" in task.asked for task in drill.tasks)
    opening = [line for line in drill.promised if line[1] == "reach" and line[0] not in ("beat", "skip")]
    assert {change.code for change in drill.changes} == {WAITS}
    fresh = [change for change in drill.changes if change.planned.why == "fresh"]
    assert len(drill.changes) - len(fresh) == sum(map(drill.promised.get, opening))
    assert len(fresh) == (drill.promised - drill.given)["fresh", "fresh"]
    assert all("offbeat" in change.planned.features for change in fresh)
    assert {change.on for change in drill.changes} <= {"beat", "offbeat"}


def test_fresh_patterns_turned_off_in_mid_drill_is_a_change_that_is_said(tmp_path) -> None:
    clock, reader = [START], Reader.drawn(1)
    held = opened(tmp_path, clock, HANDS)
    promised = next(line.count for line in held.today().lines if line.feature == "fresh")
    sitting = held.start()
    answer(sitting, sitting.next(), reader, clock[0])
    held.change("fresh", False)
    sitting = held.start()
    said = []
    while (task := sitting.next()) is not None:
        assert task.why != "fresh"
        said += [task.change.code] if task.change else []
        answer(sitting, task, reader, clock[0])
    assert said.count(NO_FRESH) == promised


def cut_off(held: Practice, clock: list[float], answers: int):
    """A drill of which some questions are answered; gives its lines in the order promised."""
    held.today()
    reader = Known(Reader.drawn(0).truth, Reader.drawn(0).rng)
    sitting = held.start()
    for _ in range(answers):
        answer(sitting, sitting.next(), reader, clock[0])
        clock[0] += 40
    return sitting


def test_a_drill_cut_off_keeps_its_plan(tmp_path) -> None:
    clock = [START]
    held = opened(tmp_path, clock, HANDS)
    whole = Counter({(line.feature, line.why): line.count for line in held.today().lines})
    sitting = held.start()
    given = []
    reader = Known(Reader.drawn(0).truth, Reader.drawn(0).rng)
    for _ in range(5):
        given.append(line_of(task := sitting.next()))
        answer(sitting, task, reader, clock[0])
        clock[0] += 40
    held.log.close()
    again = opened(tmp_path, clock, HANDS, seed=99)
    left = Counter({(line.feature, line.why): line.count for line in again.today().lines})
    assert Counter(given) + left == whole
    resumed = again.start()
    assert resumed.id == sitting.id
    while (task := resumed.next()) is not None:
        given.append(line_of(task))
        answer(resumed, task, reader, clock[0])
    assert Counter(given) == whole


def test_a_drill_that_an_earlier_version_began_goes_on(tmp_path) -> None:
    clock = [START]
    held = opened(tmp_path, clock, HANDS)
    sitting = cut_off(held, clock, 3)
    store(held, '{"count":13,"deck":null,"pattern":false}')
    today = held.today()
    assert (today.unfinished, today.questions, today.notices) == (True, 10, ())
    resumed = held.start()
    task = resumed.next()
    assert (resumed.id, task.number, task.of) == (sitting.id, 4, 13)
    assert line_of(task) in {(line.feature, line.why) for line in today.lines}


def test_a_drill_shown_as_one_to_go_on_with_and_left_too_long_gives_way_to_a_new_one(tmp_path) -> None:
    clock = [START]
    held = opened(tmp_path, clock, HANDS)
    sitting = cut_off(held, clock, 3)
    assert held.today().unfinished
    clock[0] += DAY
    begun = held.start()
    assert begun.id != sitting.id
    assert (begun.next().number, begun.of) == (1, held.questions())


@pytest.mark.parametrize(
    ("plan", "why"),
    [
        ('{"count":13,"deck":null,"patt', "count is a whole number from 1 to 200, not None"),
        ('{"count":"13"}', "count is a whole number from 1 to 200, not '13'"),
        ('{"count":1,"plan":{"open":["beat"],"items":[["reach","baet"]]}}', "'baet' is not a feature"),
    ],
)
def test_a_damaged_plan_does_not_stop_the_app_and_is_said_once(tmp_path, plan, why) -> None:
    clock = [START]
    held = opened(tmp_path, clock, HANDS)
    sitting = cut_off(held, clock, 2)
    store(held, plan)
    today = held.today()
    assert not today.unfinished
    (notice,) = today.notices
    assert why in notice.text and "a new drill is planned" in notice.text
    assert held.today().notices == ()
    fresh_start = held.start()
    assert fresh_start.id != sitting.id and fresh_start.next().number == 1
    assert len(held.log.answers(held.learner.id)) == 2


def store(held: Practice, plan: str) -> None:
    """Put another plan in the place of the newest session's, as damage or another version would."""
    with held.log._store.writing() as connection:
        connection.execute(
            "UPDATE sessions SET plan = ? WHERE rowid = (SELECT max(rowid) FROM sessions)", (plan,)
        )


def test_start_gives_the_plan_that_today_showed_even_hours_later(tmp_path) -> None:
    clock, reader = [START], Reader.drawn(2)
    held = opened(tmp_path, clock, HANDS)
    held.change("minutes", 3)
    for _ in days(held, clock, reader, 2):
        pass
    shown = Counter({(line.feature, line.why): line.count for line in held.today().lines})
    clock[0] += 5 * DAY
    sitting = held.start()
    given: Counter[tuple[str, str]] = Counter()
    while (task := sitting.next()) is not None:
        # A sign that was to open but cannot after days away gives way, and that is said.
        given[task.change.planned.line if task.change else line_of(task)] += 1
        answer(sitting, task, reader, clock[0])
    assert given == shown
