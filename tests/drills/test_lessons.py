"""The lessons: one bar with a sign and one without it."""

from __future__ import annotations

from itertools import combinations

import pytest

from drillapp.drills.ear import heard_apart
from drillapp.drills.lessons import LESSONS, beside, features_on, to_meet
from drillapp.music import FEATURE_TABLE, FEATURES, LAYERS, parse, signs
from drillapp.music.course import builds_on
from drillapp.music.features import features_to_ask, look, swung
from drillapp.music.ways import changed
from drillapp.notation import engrave

CHOICES = [chosen for count in range(1, len(LAYERS) + 1) for chosen in combinations(LAYERS, count)]
every_lesson = pytest.mark.parametrize("lesson", LESSONS.values(), ids=LESSONS)
#: what says of a place only whether it is struck or passed by
STRUCK_OR_NOT = {"beat", "offbeat", "skip"}


def test_every_feature_has_a_lesson_in_the_order_of_the_table() -> None:
    assert tuple(LESSONS) == FEATURES


@every_lesson
def test_a_lesson_is_one_slow_bar(lesson) -> None:
    # 60 to 72 beats a minute: the pace of a slow walk, common practice for a first reading, no source.
    for bar in (lesson.shown, lesson.plain):
        assert len(bar.bars) == 1
        assert 60 <= bar.tempo <= 72
    assert lesson.shown.tempo == lesson.plain.tempo


@every_lesson
def test_a_lesson_holds_only_signs_that_its_own_builds_on(lesson) -> None:
    assert lesson.feature in features_to_ask(lesson.shown)
    assert lesson.feature not in features_to_ask(lesson.plain) or lesson.feature == "beat"
    held = features_to_ask(lesson.shown) | features_to_ask(lesson.plain)
    # The first lesson cannot but show a place that is not struck; the second says what that is.
    excused = {"skip"} if lesson.feature == "beat" else set()
    assert held <= builds_on([lesson.feature]) | excused


@every_lesson
@pytest.mark.parametrize("own", CHOICES, ids="+".join)
def test_the_two_bars_differ_to_the_eye_in_that_sign_only(lesson, own) -> None:
    layers = lesson.layers_beside(own)
    assert set(own) <= set(layers)
    assert set(layers) & set(FEATURE_TABLE[lesson.feature].layers)
    assert look(lesson.shown, layers) != look(lesson.plain, layers)
    if lesson.feature == "meter":
        # The sign of a meter stands in both bars and says another number; what differs beside it is the
        # beat that only the longer bar has.
        assert lesson.shown.meter != lesson.plain.meter
        assert all(sign.at >= lesson.shown.length for sign in beside(lesson, layers))
        return
    own_signs = [
        sign for sign in changed(lesson.shown, lesson.plain, layers) if sign.feature == lesson.feature
    ]
    held = signs(lesson.shown, layers)
    assert own_signs and all(sign in held for sign in own_signs)
    others = beside(lesson, layers)
    assert {sign.feature for sign in others} <= STRUCK_OR_NOT
    # In the same beat, so that one place is to be looked at.
    beats = {int(sign.at / lesson.shown.meter.beats[0]) for sign in own_signs}
    assert {int(sign.at / lesson.shown.meter.beats[0]) for sign in others} <= beats


@every_lesson
def test_the_two_bars_differ_to_the_ear(lesson) -> None:
    assert heard_apart(lesson.shown, lesson.plain)


@every_lesson
def test_where_the_bars_differ_a_slot_of_the_page_is_pointed_at(lesson) -> None:
    layers = lesson.layers_beside(LAYERS)
    places = lesson.places(layers)
    assert all(place < len(engrave(lesson.shown, layers).slots) for place in places)
    assert bool(places) is (lesson.feature != "meter")


def test_a_rest_and_a_ring_look_alike_in_letters_and_not_in_the_staff() -> None:
    rest = LESSONS["rest"]
    assert look(rest.shown, ["letters"]) == look(rest.plain, ["letters"])
    assert "staff" in rest.layers_beside(["letters"])


def test_only_the_lesson_on_swing_swings() -> None:
    assert [name for name, one in LESSONS.items() if swung(one.shown)] == ["swing"]
    assert not any(swung(one.plain) for one in LESSONS.values())


def test_the_features_of_a_page_are_those_that_its_layers_show() -> None:
    push = parse("D- DU -U DU")
    assert features_on([push], ["letters"]) == ("beat", "offbeat", "skip")
    assert features_on([push], ["staff"]) == ("beat", "offbeat", "tie")
    assert features_on([push, parse("D X D X")], ["letters"]) == ("beat", "offbeat", "skip", "mute")


def test_what_a_page_shows_and_was_not_met_is_met_in_the_order_of_the_table() -> None:
    push = parse("D- DU -U DU")
    assert to_meet([push], LAYERS, ()) == ("beat", "offbeat", "skip", "tie")
    assert to_meet([push], LAYERS, ("beat", "skip")) == ("offbeat", "tie")
    assert to_meet([push], ["letters"], ("beat", "offbeat", "skip")) == ()
