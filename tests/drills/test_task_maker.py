"""Tasks stand under the lines of their plan, and where one cannot, the task says what became of it."""

from __future__ import annotations

import random

import pytest

from drillapp.drills import NoQuestion, PickQuestion
from drillapp.drills.dictation import ruled
from drillapp.drills.plan import NO_FRESH, NO_PAGE, WAITS, Change, Item, Plan
from drillapp.drills.task_maker import TaskMaker
from drillapp.drills.tasks import Source, Wishes, pages_of
from drillapp.learning import Memory, Planner
from drillapp.music import FEATURES, features_to_ask, parse
from drillapp.music.course import BUILDS_ON
from drillapp.music.fresh.make import fresh

NOW = 10_000.0
TEXTS = ("D D D D", "D- DU DU DU", "DU D- DU D-", "D- DU -U DU", "DU D- D- DU", "D DU D DU")
SOURCES = tuple(Source(parse(text), f"pattern {text}", "deck") for text in TEXTS)


def maker(plan: Plan, wishes: Wishes | None = None, made=None, sources=SOURCES, **read: bool) -> TaskMaker:
    """A maker for a learner who read these signs ten times, rightly or wrongly."""
    memory = Memory(FEATURES)
    for minute in range(10):
        for feature, right in read.items():
            memory.observe((feature,), right, 60.0 * minute, 0.5)
    planner = Planner(FEATURES, 1, memory, BUILDS_ON)
    return TaskMaker(planner, plan, sources, set(), random.Random(4), wishes or Wishes(), made)


def make_fresh(features, like, rng):
    return fresh(features, like.meter, 0.3, rng.getrandbits(32))


def planned(*items: Item, open: tuple[str, ...] = ("beat", "offbeat")) -> Plan:
    return Plan(items, open)


KEPT = {"beat": True, "offbeat": True}


def test_what_can_be_asked_as_planned_is_and_nothing_is_said() -> None:
    item = Item(("offbeat", "beat"), "repair")
    task = maker(planned(item), **KEPT).make(1, 1, NOW)
    assert isinstance(task.question, PickQuestion)
    assert (task.asked, task.why, task.change, task.number, task.of) == (item.features, "repair", None, 1, 1)
    assert task.source in SOURCES


def test_a_fresh_question_is_on_a_pattern_of_no_deck_that_was_never_met() -> None:
    task = maker(planned(Item(("offbeat",), "fresh")), made=make_fresh, **KEPT).make(1, 1, NOW)
    assert (task.why, task.change, task.first_seen, task.source.deck) == ("fresh", None, True, "")


def test_a_fresh_pattern_that_was_met_is_not_given_for_fresh() -> None:
    by_hand = Wishes(drills=("strum_it",))
    one = maker(planned(Item(("offbeat",), "fresh")), by_hand, lambda *_: parse(TEXTS[1]), **KEPT)
    one.met.add(TEXTS[1])
    one.wishes = by_hand
    task = one.make(1, 1, NOW)
    assert task.first_seen or task.change is not None
    assert task.pattern.text != TEXTS[1] or task.why != "fresh"


@pytest.mark.parametrize("made", [None, lambda *_: None])
def test_where_no_fresh_pattern_can_be_made_one_of_the_decks_comes_and_that_is_said(made) -> None:
    item = Item(("offbeat",), "fresh")
    task = maker(planned(item), made=made, beat=True, offbeat=False).make(1, 1, NOW)
    assert task.change == Change(NO_FRESH, 1, item, Item(("offbeat",), "repair"))
    assert (task.why, task.asked, task.source.deck) == ("repair", ("offbeat",), "deck")


def test_where_fresh_patterns_are_not_wished_for_none_is_made() -> None:
    one = maker(planned(Item(("offbeat",), "fresh")), Wishes(fresh=False), make_fresh, **KEPT)
    assert one.make(1, 1, NOW).change.code == NO_FRESH


def test_a_sign_that_was_to_open_waits_for_what_it_builds_on() -> None:
    item = Item(("offbeat",), "reach")
    task = maker(planned(item, open=("beat",)), beat=False).make(1, 1, NOW)
    assert task.change == Change(WAITS, 1, item, Item(("beat",), "repair"), "beat")
    assert (task.asked, task.why) == (("beat",), "repair")
    assert "offbeat" not in task.allowed


def test_a_sign_whose_base_is_not_open_either_gives_way_to_one_that_is() -> None:
    item = Item(("tie", "offbeat"), "reach")  # ties build on offbeats and skips
    task = maker(planned(Item(("offbeat",), "reach"), item, open=("beat",)), beat=False).make(2, 2, NOW)
    assert task.change == Change(WAITS, 2, item, Item(("beat",), "repair"), "offbeat")
    assert task.allowed == ("beat",)


def test_a_sign_that_was_to_open_opens_where_what_it_builds_on_holds() -> None:
    task = maker(planned(Item(("offbeat",), "reach"), open=("beat",)), beat=True).make(1, 1, NOW)
    assert (task.asked, task.why, task.change) == (("offbeat",), "reach", None)
    assert task.allowed == ("beat", "offbeat")


def test_a_second_sign_that_waits_is_left_out_and_the_line_stays() -> None:
    item = Item(("beat", "offbeat"), "repair")
    task = maker(planned(item, open=("beat",)), beat=False).make(1, 1, NOW)
    assert (task.asked, task.why, task.change) == (("beat",), "repair", None)


def test_a_second_sign_that_no_pattern_can_show_is_left_out_and_the_line_stays() -> None:
    item = Item(("beat", "compound"), "repair")
    task = maker(planned(item, open=("beat", "compound")), **KEPT).make(1, 1, NOW)
    assert (task.asked[0], task.why, task.change) == ("beat", "repair", None)


def test_where_no_pattern_can_ask_for_a_sign_another_one_comes_and_that_is_said() -> None:
    item = Item(("compound",), "repair")
    task = maker(planned(item, open=("beat", "compound")), beat=True).make(1, 1, NOW)
    assert task.change == Change(NO_PAGE, 1, item, Item(("beat",), task.why))
    assert task.asked == ("beat",) and task.why != "fresh"


def test_hands_that_cannot_show_the_first_sign_do_not_take_the_question_to_another_line() -> None:
    waltz = (
        Source(parse("D D D", "3/4"), "waltz", "deck"),
        Source(parse("D DU D", "3/4"), "waltz 2", "deck"),
    )
    item = Item(("meter", "beat"), "repair")
    for drill in ("strum_it", "write_it_down"):
        one = maker(
            planned(item, open=("beat", "meter")),
            Wishes(drills=(drill,)),
            sources=(*SOURCES, *waltz),
            beat=True,
        )
        try:
            task = one.make(1, 1, NOW)
        except NoQuestion:
            continue
        assert task.asked[0] == "meter" or task.change is not None


def test_a_question_by_hand_stands_under_its_line_too() -> None:
    item = Item(("offbeat",), "repair")
    task = maker(planned(item), Wishes(drills=("write_it_down",)), **KEPT).make(1, 1, NOW)
    assert task.question == ruled(task.pattern)
    assert (task.drill, task.asked, task.why, task.change) == ("write_it_down", ("offbeat",), "repair", None)


def test_without_any_pattern_there_is_no_question() -> None:
    with pytest.raises(NoQuestion, match="no pattern here can ask for beat"):
        maker(planned(Item(("beat",), "reach")), sources=()).make(1, 1, NOW)


def test_the_next_question_can_be_made_before_the_one_at_hand_is_answered() -> None:
    plan = planned(Item(("beat",), "repair"), Item(("offbeat",), "repair"), Item(("beat",), "repair"))
    one = maker(plan, **KEPT)
    assert [one.make(number, 3, NOW).asked for number in (1, 2, 3)] == [("beat",), ("offbeat",), ("beat",)]


def test_a_deck_that_asks_for_some_layers_can_ask_what_they_show() -> None:
    text = parse("D- DU -U DU")
    (free,), (letters,) = pages_of((Source(text),)), pages_of((Source(text, layers=("letters",)),))
    assert "tie" in free.asks and free.asks == free.shows == letters.shows
    assert "tie" not in letters.asks and {"beat", "offbeat", "skip"} <= letters.asks
    assert pages_of(()) == frozenset()


def test_a_fresh_pattern_shows_no_sign_that_is_closed() -> None:
    jigs = tuple(Source(parse(text, "6/8"), text, "deck") for text in ("D-- D--", "D-U D-U"))
    seen = []

    def noted(features, like, rng):
        seen.append(like.meter.text)
        return make_fresh(features, like, rng)

    items = (Item(("beat",), "fresh"),) * 3
    one = maker(planned(*items, open=("beat",)), made=noted, sources=(*jigs, *SOURCES), beat=True)
    for number in (1, 2, 3):
        task = one.make(number, 3, NOW)
        assert task.why == "fresh" and "compound" not in features_to_ask(task.pattern)
    assert seen[0] == "4/4"
    only_jigs = maker(planned(items[0], open=("beat",)), made=make_fresh, sources=jigs, beat=True)
    with pytest.raises(NoQuestion):
        only_jigs.make(1, 1, NOW)
    asked = maker(planned(items[0], open=("beat",)), made=make_fresh, sources=jigs, beat=True)
    asked._open = frozenset({"beat", "skip", "compound", "meter"})
    task = asked.make(1, 1, NOW)
    assert features_to_ask(task.pattern) <= {"beat", "skip", "compound", "meter"}


def test_a_sign_that_opens_is_asked_slowly_and_between_two_however_well_it_is_read() -> None:
    """One thing is new at a time: common practice, no source."""
    picks = Wishes(drills=("page_to_sound",))
    item = Item(("tie",), "reach")
    read = {**KEPT, "skip": True, "tie": True}
    opening = maker(planned(item, open=("beat",)), picks, **read).make(1, 1, NOW)
    assert 60 <= opening.tempo <= 72 and len(opening.question.candidates) == 2
    known = maker(planned(item, open=("beat", "tie")), picks, **read).make(1, 1, NOW)
    assert known.tempo > 72


def test_a_question_made_once_more_still_opens_its_sign() -> None:
    read = {**KEPT, "skip": True, "tie": True}
    one = maker(planned(Item(("tie",), "reach"), open=("beat",)), **read)
    first, again = one.make(1, 1, NOW), one.make(1, 1, NOW)
    assert first.asked == again.asked == ("tie",)
    assert 60 <= again.tempo <= 72


def test_without_sound_nothing_is_asked_that_needs_an_ear() -> None:
    plan = planned(*(Item(("beat",), "repair"),) * 8)
    one = maker(plan, Wishes(drills=("page_to_sound", "sound_to_page", "write_it_down")), **KEPT)
    one.hears = lambda: False
    drills = {one.make(number, 8, NOW).drill for number in range(1, 9)}
    assert drills == {"strum_it"}, "the one kind that is answered without hearing anything"


def test_patterns_are_asked_in_all_their_bars_where_that_is_wished_for() -> None:
    long = (Source(parse("D- DU DU DU | D- D- DU DU | D DU D DU"), "long", "deck"),)
    short = maker(planned(Item(("beat",), "repair")), sources=long, beat=False).make(1, 1, NOW)
    assert len(short.pattern.bars) == 1
    one = maker(planned(Item(("beat",), "repair")), sources=long, beat=False)
    one.whole = True
    assert len(one.make(1, 1, NOW).pattern.bars) == 3


def test_patterns_that_were_put_wait_until_the_others_had_their_turn() -> None:
    plan = planned(*(Item(("beat",), "repair"),) * 6)
    plain = tuple(one for one in SOURCES if "-U" not in one.pattern.text)  # a tie is not open
    one = maker(plan, Wishes(drills=("strum_it",)), sources=plain, **KEPT)
    put = [one.make(number, 6, NOW).source.title for number in range(1, 1 + len(plain))]
    assert sorted(put) == sorted(source.title for source in plain)
