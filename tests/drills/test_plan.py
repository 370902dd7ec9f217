"""A drill's plan: made once, the same each time, and read back whole or not at all."""

from __future__ import annotations

from itertools import pairwise

import pytest

from drillapp.drills.plan import Item, Page, Plan, Reason, make_plan, practised, reason_of
from drillapp.learning import Memory, Planner, expect
from drillapp.music import FEATURES
from drillapp.music.course import BUILDS_ON

DAY = 86_400.0


def each(*features: str) -> tuple[Page, ...]:
    """A page for each of the features, which shows nothing else."""
    return tuple(Page(frozenset({feature}), frozenset({feature})) for feature in features)


ALL = each(*FEATURES)


def planner(**read: bool) -> Planner:
    """A planner whose learner read these signs twenty times, always rightly or always wrongly."""
    memory = Memory(FEATURES)
    for minute in range(20):
        for feature, right in read.items():
            memory.observe((feature,), right, 60.0 * minute, 0.5)
    return Planner(FEATURES, 3, memory, BUILDS_ON, signs=26)


def why_by_feature(plan: Plan) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for item in plan.items:
        found.setdefault(item.features[0], set()).add(item.why)
    return found


def test_planning_changes_nothing_and_gives_the_same_again() -> None:
    one, other = planner(beat=True, offbeat=False), planner(beat=True, offbeat=False)
    plan = make_plan(one, ALL, 30, DAY)
    assert make_plan(one, ALL, 30, DAY) == plan
    assert one.next(DAY) == other.next(DAY)
    assert [one.memory.belief(f, DAY) for f in FEATURES] == [other.memory.belief(f, DAY) for f in FEATURES]
    assert practised(one, DAY) == {"beat", "offbeat"}


def test_the_first_drill_asks_six_beats_and_then_opens_the_offbeat() -> None:
    plan = make_plan(planner(), ALL, 13, 0.0)
    assert plan.open == ("beat",)
    assert [item.features for item in plan.items[:6]] == [("beat",)] * 6
    assert "offbeat" in plan.items[6].features
    assert (plan.allowed(6), plan.allowed(7)) == (("beat",), ("beat", "offbeat"))


def test_at_most_three_signs_open_in_a_drill_and_one_where_a_sign_is_read_badly() -> None:
    known = {"beat": True, "offbeat": True, "skip": True}
    sure, unsure = planner(**known), planner(**known, tie=False)
    assert len(make_plan(sure, ALL, 60, 1200.0).allowed(60)) == 3 + 3
    assert len(make_plan(unsure, ALL, 60, 1200.0).allowed(60)) == 4 + 1


def test_a_sign_that_no_pattern_shows_is_not_planned() -> None:
    plan = make_plan(planner(beat=True, offbeat=True, skip=True), each("beat", "offbeat", "rest"), 40, 1200.0)
    assert set(plan.allowed(40)) == {"beat", "offbeat", "rest"}


def test_a_sign_that_stands_only_beside_closed_ones_waits_for_them() -> None:
    # Beats in three stand in 6/8, which shows a meter; whoever met one by chance has not met the other.
    jig = frozenset({"beat", "compound", "meter"})
    pages = (*each("beat", "offbeat", "skip", "meter"), Page(jig, jig))
    met = planner(beat=True, offbeat=True, skip=True, compound=True)
    plan = make_plan(met, pages, 30, 1200.0)
    first = min(number for number in range(1, 31) if "meter" in plan.allowed(number))
    assert "compound" not in plan.allowed(first - 1) or first == 1
    assert {"meter", "compound"} <= set(plan.allowed(30))


def test_a_sign_opens_only_where_a_page_shows_it_alone() -> None:
    both = frozenset({"rest", "tie"})
    known = planner(beat=True, offbeat=True, skip=True)
    pages = (*each("beat", "offbeat", "skip"), Page(both, both), *each("mute"))
    opened_first = [f for f in make_plan(known, pages, 4, 1200.0).allowed(4) if f in ("rest", "tie", "mute")]
    assert opened_first == ["mute"]
    knows_none = (*each("beat", "offbeat", "skip"), Page(both, both))
    assert not {"rest", "tie"} & set(make_plan(known, knows_none, 30, 1200.0).allowed(30))
    assert "rest" in make_plan(known, knows_none, 30, 1200.0, met=("rest", "tie")).open


def test_where_nothing_is_open_the_first_sign_that_a_pattern_shows_is_asked() -> None:
    assert make_plan(planner(), each("tie", "mute"), 1, 0.0).open == ("tie",)
    assert make_plan(planner(), (), 1, 0.0).open == ("beat",)


def test_at_least_every_fourth_question_is_on_a_fresh_pattern() -> None:
    plan = make_plan(planner(beat=True, offbeat=False), ALL, 40, DAY)
    fresh = [number for number, item in enumerate(plan.items, 1) if item.fresh]
    assert fresh[0] <= 4
    assert all(later - number <= 4 for number, later in pairwise(fresh))


def test_without_fresh_patterns_what_is_read_well_is_refreshed() -> None:
    held = planner(beat=True, offbeat=True, skip=True)
    with_fresh = why_by_feature(make_plan(held, ALL, 20, 1200.0))
    without = why_by_feature(make_plan(held, ALL, 20, 1200.0, fresh=False))
    assert with_fresh["beat"] == {"fresh"}
    assert without["beat"] == {"refresh"}


def test_each_sign_has_one_reason_beside_fresh_patterns() -> None:
    whys = why_by_feature(make_plan(planner(beat=True, offbeat=True, skip=True, tie=False), ALL, 30, DAY))
    assert whys["tie"] - {"fresh"} == {"repair"}
    assert all(len(found - {"fresh"}) <= 1 for found in whys.values())


def test_kinds_are_interleaved() -> None:
    plan = make_plan(planner(beat=True, offbeat=True, skip=True, tie=False), ALL, 30, DAY)
    for one, two, three in zip(plan.items, plan.items[1:], plan.items[2:], strict=False):
        assert not set(one.features) == set(two.features) == set(three.features)


ITEMS = (Item(("beat",), "reach"), Item(("offbeat", "beat"), "reach"), Item(("beat",), "fresh"))
PLAN = Plan(ITEMS, ("beat",))


def test_questions_are_numbered_from_one() -> None:
    assert (PLAN.item(1), PLAN.item(3), PLAN.last) == (ITEMS[0], ITEMS[2], 3)
    for number in (0, 4):
        with pytest.raises(IndexError, match=f"questions 1 to 3, not {number}"):
            PLAN.item(number)


def test_what_is_left_keeps_its_numbers_and_what_was_opened() -> None:
    left = PLAN.after(2)
    assert left == Plan(ITEMS[2:], ("beat", "offbeat"), 3)
    assert (left.item(3), left.last, left.allowed(3)) == (ITEMS[2], 3, ("beat", "offbeat"))
    assert left.after(2) is left and PLAN.after(0) is PLAN


def test_a_question_stands_under_its_first_sign_or_under_fresh_patterns() -> None:
    assert [item.line for item in ITEMS] == [("beat", "reach"), ("offbeat", "reach"), ("fresh", "fresh")]


def test_a_plan_comes_back_from_its_dict() -> None:
    assert PLAN.to_dict() == {
        "open": ["beat"],
        "items": [["reach", "beat"], ["reach", "offbeat", "beat"], ["fresh", "beat"]],
    }
    assert Plan.from_dict(PLAN.to_dict()) == PLAN


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"items": []}, "items is a list of 1 to 200 questions"),
        ({"items": [["reach", "beat"]] * 201}, "items is a list of 1 to 200 questions"),
        ({"items": "beat"}, "items is a list of 1 to 200 questions"),
        ({"items": [["reach"]]}, "question 1 is a list of why and one or more features"),
        ({"items": [["reach", "beat"], "beat"]}, "question 2 is a list of why"),
        ({"items": [["because", "beat"]]}, "question 1: 'because' is not a reason; choose from repair"),
        ({"items": [[["reach"], "beat"]]}, "is not a reason"),
        ({"items": [["reach", "ties"]]}, "question 1: 'ties' is not a feature; choose from beat"),
        ({"items": [["reach", ["tie"]]]}, "is not a feature"),
        ({"items": [["reach", "tie", "tie"]]}, "question 1: a feature is named twice"),
        ({"open": []}, "open: a list of features is missing"),
        ({"open": "beat"}, "open: a list of features is missing"),
        ({"open": [7]}, "open: 7 is not a feature"),
        ({"more": 1}, "a plan is an object with open and items"),
    ],
)
def test_a_damaged_plan_is_refused_with_what_is_wrong(changes, why) -> None:
    with pytest.raises(ValueError, match=why):
        Plan.from_dict({**PLAN.to_dict(), **changes})


def test_a_plan_that_is_no_object_is_refused() -> None:
    for value in (None, [], "plan", {"open": ["beat"]}):
        with pytest.raises(ValueError, match="a plan is an object with open and items"):
            Plan.from_dict(value)


def test_two_hundred_questions_are_the_most() -> None:
    assert len(Plan.from_dict({"open": ["beat"], "items": [["reach", "beat"]] * 200}).items) == 200


def test_a_reason_tells_what_is_expected_and_since_when() -> None:
    held = planner(tie=False)
    reason = reason_of(held, "tie", "repair", 19 * 60.0 + DAY)
    assert (reason.why, reason.feature, reason.since) == ("repair", "tie", DAY)
    assert reason.expected == expect(held.memory, "tie", 19 * 60.0 + DAY)
    assert reason_of(held, "fresh", "fresh", DAY) == Reason("fresh", "fresh")
