"""Reading check: it asks about what may be weak, by hand, and its findings are as sure as it says."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

import pytest
from scipy.stats import binom

from drillapp.decks.load import load_decks
from drillapp.drills.check import ReadingCheck
from drillapp.drills.dictation import grade_dictation, ruled
from drillapp.drills.pick import Evidence, NoQuestion
from drillapp.drills.strum.grade import Hit, grade_strum
from drillapp.drills.tasks import Source, Task, Wishes
from drillapp.music import FEATURES, features_to_ask, parse

SIGNS = ("beat", "offbeat", "skip", "tie", "rest", "mute", "accent")
SOUND_READS, WEAK_READS = 0.92, 0.60
BY_HAND = {"strum_it", "write_it_down"}
TASK_SECONDS = 27.0  # a page read, counted in, played and looked at


@lru_cache(maxsize=1)
def shipped() -> tuple[Source, ...]:
    decks, _ = load_decks()
    return tuple(Source(one.pattern, one.title, deck.name) for deck in decks for one in deck.patterns)


def plain() -> list[Source]:
    """Pages of the first half of the course."""
    return [source for source in shipped() if features_to_ask(source.pattern) <= {*SIGNS, "meter"}]


def a_check(seed: int = 1, **more) -> ReadingCheck:
    return ReadingCheck(more.pop("sources", plain()), set(), random.Random(seed), **more)


def right_answer(task: Task) -> tuple[Evidence, ...]:
    """Evidence of a page that is played or written as it should be."""
    pattern = task.pattern
    if task.drill == "strum_it":
        hits = [
            Hit(
                pattern.seconds(place.at),
                place.slot.hand,
                place.slot.muted,
                0.8 if place.slot.accent else 0.5,
            )
            for place in pattern.places
            if place.struck
        ]
        result = grade_strum(pattern, task.tempo, hits, task.layers)
        assert result.right
        return result.evidence
    return grade_dictation(pattern, [place.slot for place in ruled(pattern).places], task.layers).evidence


def at_stake(features: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f for f in features if f not in ("beat", "offbeat", "skip")) or features


def take(check: ReadingCheck, reads, rng: random.Random) -> list[Task]:
    """Go through a check as a reader who reads a sign of a feature right with chance ``reads(feature)``."""
    now, tasks = 0.0, []
    while not check.done(now):
        task = check.make(len(tasks) + 1, 20, now)
        page = []
        for one in right_answer(task):
            chance = min(reads(feature) for feature in at_stake(one.features))
            page.append(replace(one, correct=rng.random() < one.guess + (1 - one.guess) * chance))
        check.tell(page)
        tasks.append(task)
        now += TASK_SECONDS
    return tasks


def test_a_check_takes_about_five_minutes_and_asks_by_hand() -> None:
    tasks = take(a_check(), lambda feature: SOUND_READS, random.Random(2))
    assert 4 <= len(tasks) <= 12
    assert {task.drill for task in tasks} <= BY_HAND
    assert [task.number for task in tasks] == list(range(1, len(tasks) + 1))


def test_pages_are_playable_and_new_and_show_what_is_asked() -> None:
    check = a_check(seed=4, sources=shipped())
    tasks = take(check, lambda feature: 0.8, random.Random(3))
    texts = [task.pattern.text for task in tasks]
    assert len(set(texts)) == len(texts)
    for task in tasks:
        assert task.first_seen and task.asked and "meter" not in task.asked
        assert task.tempo == task.pattern.tempo
        told = {feature for one in right_answer(task) for feature in one.features}
        assert set(task.asked) <= told
        slots = [task.pattern.seconds(place.at) for place in task.pattern.places]
        if task.pattern.swing is None and task.tempo > 40:
            assert min(later - at for at, later in pairwise(slots)) > 0.149


def test_it_asks_next_about_the_sign_that_may_be_weak() -> None:
    check = a_check(seed=5)
    first = check.make(1, 20, 0.0)
    wrong = first.asked[0]
    check.tell([Evidence((wrong,), False, 0.0, True)] * 2)
    assert check.make(2, 20, 30.0).asked[0] == wrong


@pytest.mark.parametrize("weak", ["tie", "rest", "mute"])
def test_a_weak_sign_is_named_and_sound_ones_are_not(weak) -> None:
    """Read at 0.60 where the others are read at 0.92; more than half are found within five minutes."""
    found = others = 0
    for seed in range(12):
        check = a_check(seed)
        take(check, lambda feature: WEAK_READS if feature == weak else SOUND_READS, random.Random(seed))
        named = check.finding().weak
        found += weak in named
        others += bool(set(named) - {weak})
    assert found >= 6
    assert others <= binom.ppf(0.999, 12, 0.05)


def test_sound_readers_are_called_weak_no_oftener_than_is_said() -> None:
    """400 signs a reader, looked at after every page of them; exact binomial bound at 0.999 (scipy)."""
    rng = random.Random(11)
    readers, alarms = 200, 0
    sources = plain()[:20]
    for _ in range(readers):
        check = a_check(sources=[*sources, Source(parse(">DU XU -U D.", tempo=60))])
        named: set[str] = set()
        for _ in range(40):
            page = [
                Evidence((feature,), rng.random() < guess + (1 - guess) * SOUND_READS, guess, True)
                for feature, guess in ((rng.choice(SIGNS), rng.choice((0.0, 0.0, 0.2))) for _ in range(10))
            ]
            check.tell(page)
            named.update(check.finding().weak)
        alarms += bool(named)
    assert alarms <= binom.ppf(0.999, readers, 0.05)


def test_a_reader_who_reads_all_is_told_so() -> None:
    check = a_check(features=("beat", "offbeat", "skip"))
    take(check, lambda feature: 1.0, random.Random(1))
    finding = check.finding()
    assert finding.weak == () and finding.undecided == ()
    assert set(finding.sound) == {"beat", "offbeat", "skip"}
    assert all(right == count > 0 for right, count in finding.read.values())


def test_it_stops_when_the_time_is_up_and_says_what_is_open() -> None:
    check = a_check(minutes=1.0)
    check.make(1, 20, 1000.0)
    assert not check.done(1059.0)
    assert check.done(1060.0)
    assert set(check.finding().undecided) == set(SIGNS)


def test_evidence_counts_for_the_sign_at_stake() -> None:
    """A tie struck again is a dash misread as well; it says nothing of dashes elsewhere."""
    check = a_check(level=SOUND_READS)
    check.tell([Evidence(("tie", "skip"), False, 0.0, True)] * 8)
    assert check.finding().read["skip"] == (0, 0)
    check.tell([Evidence(("tie", "skip"), False, 0.0, True)] * 8)
    check.tell([Evidence((sign,), True, 0.0, True) for sign in SIGNS if sign != "tie" for _ in range(2)])
    assert check.finding().weak == ("tie",)


def test_written_pages_are_put_between_played_ones_where_both_are_wished() -> None:
    for drills in (tuple(BY_HAND), ("strum_it",), ("write_it_down",), ()):
        check = a_check(wishes=Wishes(drills=drills))
        put = [check.make(number, 20, 0.0).drill for number in range(1, 9)]
        assert set(put) == (set(drills) or BY_HAND)


def test_what_cannot_be_checked_is_refused() -> None:
    with pytest.raises(NoQuestion):
        a_check(sources=[])
    with pytest.raises(NoQuestion):
        a_check(features=("meter",))
    with pytest.raises(ValueError, match="error_rate"):
        a_check(error_rate=0.0)
    only = ReadingCheck([Source(parse("D D D D"))], set(), random.Random(1), features=FEATURES)
    assert only.make(1, 20, 0.0).asked == ("beat",)
