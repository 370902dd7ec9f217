"""Write it down: what is said of a written sheet. Facts of notation: common practice, no source."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

import pytest

from drillapp.decks.load import load_decks
from drillapp.drills import heard_apart
from drillapp.drills.dictation import WRITTEN_VERDICTS, DictationResult, blank, grade_dictation, ruled
from drillapp.music import LAYERS, REST, RING, Pattern, Slot, parse
from drillapp.music.slot_sheet import CYCLE, Sheet

DOWN, UP = Slot("strike", "down"), Slot("strike", "up")


def shipped() -> list[Pattern]:
    decks, _ = load_decks()
    return [one.pattern for deck in decks for one in deck.patterns]


def slots_of(pattern: Pattern) -> list[Slot | None]:
    return [place.slot for place in pattern.places]


def written(pattern: Pattern, **changes: Slot | None) -> DictationResult:
    """The pattern written down right but for the slots named s0, s1, ..."""
    slots = slots_of(ruled(pattern))
    for name, slot in changes.items():
        slots[int(name[1:])] = slot
    result = grade_dictation(pattern, slots)
    assert all(slot.verdicts <= set(WRITTEN_VERDICTS) for slot in result.slots)
    return result


def said(result: DictationResult) -> dict[int, set[str]]:
    return {slot.index: set(slot.verdicts) for slot in result.slots if slot.verdicts}


def wrong(result: DictationResult) -> list[tuple[str, ...]]:
    return [one.features for one in result.evidence if not one.correct]


def test_a_tap_goes_through_the_ways_of_a_slot_and_back_to_empty() -> None:
    sheet = blank(parse("D- DU -U DU"))
    ways = []
    for _ in range(len(CYCLE) + 1):
        sheet = sheet.tapped(3)
        ways.append(sheet.way(3))
    assert ways == [*CYCLE, None]
    assert sheet == blank(parse("D- DU -U DU"))


def test_a_tap_strikes_with_the_hand_that_keeps_time() -> None:
    sheet = blank(parse("DU DUDU DUD DU"))
    hands = [sheet.tapped(place.index).slots[place.index].hand for place in sheet.ruler.places]
    assert hands[:8] == ["down", "up"] * 4
    triplet = [place.index for place in sheet.ruler.places if place.of == 3]
    assert hands[triplet[0]] == "down" and hands[triplet[1]] == "up"


def test_a_stroke_can_be_turned_and_a_mute_accented() -> None:
    sheet = blank(parse("DU DU DU DU")).filled(2, "muted").marked(2).turned(2)
    assert sheet.slots[2] == Slot("strike", "up", True, True)
    assert sheet.turned(0) == sheet.marked(0) == sheet  # nothing is struck there


def test_an_empty_sheet_does_not_tell_where_strokes_are() -> None:
    for text in ("D D D D", "D DU D DU", "D- DU -U DU", ". . DU D"):
        sheet = blank(parse(text))
        assert len(sheet.slots) == 8
        assert set(sheet.slots) == {None}


def test_the_ruler_sounds_the_same_as_the_pattern() -> None:
    for pattern in shipped():
        ruler = ruled(pattern)
        assert [(s.at, s.hand, s.muted, s.accent) for s in ruler.strokes] == [
            (s.at, s.hand, s.muted, s.accent) for s in pattern.strokes
        ]
        assert ruler.stops == pattern.stops
        assert not heard_apart(pattern, ruler)
        assert ruled(ruler) == ruler


def test_every_shipped_page_written_as_it_sounds_is_all_right() -> None:
    for pattern in shipped():
        for slots in (slots_of(pattern), slots_of(ruled(pattern))):
            result = grade_dictation(pattern, slots)
            assert result.right and said(result) == {}
            assert all(one.correct for one in result.evidence)


def test_spellings_that_sound_the_same_are_right() -> None:
    for first, second in (
        ("X- DU X- DU", "X. DU X. DU"),
        ("-U DU DU DU", ".U DU DU DU"),
        ("D- -- .. DU", "D- -- .- DU"),
    ):
        for one, other in ((first, second), (second, first)):
            sheet = slots_of(parse(other))
            assert said(grade_dictation(parse(one), sheet)) == {}
            assert wrong(grade_dictation(parse(one), sheet)) == []


def test_ringing_and_silence_are_told_apart() -> None:
    rings, stops = parse("D- DU -U DU", tempo=80), parse("D- DU .U DU", tempo=80)
    result = grade_dictation(rings, slots_of(stops))
    assert said(result) == {4: {"silence added"}}
    assert wrong(result) == [("tie",)]
    result = grade_dictation(stops, slots_of(rings))
    assert said(result) == {4: {"silence missed"}}
    assert wrong(result) == [("rest",)]


def test_a_silence_too_short_to_hear_is_not_asked() -> None:
    """Shorter than about 120 ms before the next stroke, as in Page to sound."""
    for tempo, told in ((60, True), (200, False)):
        stops, rings = parse("D-.U D--- D--- D---", tempo=tempo), parse("D--U D--- D--- D---", tempo=tempo)
        assert heard_apart(stops, rings) is told
        assert bool(said(grade_dictation(stops, slots_of(rings)))) is told
        assert bool(said(grade_dictation(rings, slots_of(stops)))) is told
        rest = [one for one in grade_dictation(stops, slots_of(stops)).evidence if "rest" in one.features]
        assert bool(rest) is told


def test_strokes_left_out_and_added_are_named() -> None:
    page = parse("D- DU -U DU")
    result = written(page, s3=RING)
    assert said(result) == {3: {"left out"}} and wrong(result) == [("offbeat",)]
    result = written(page, s4=DOWN)
    assert said(result) == {4: {"extra"}} and wrong(result) == [("tie", "skip")]
    result = written(parse("D- DU . DU"), s4=DOWN)
    assert said(result) == {4: {"extra"}} and wrong(result) == [("rest", "skip")]


def test_mutes_accents_and_hands_are_named() -> None:
    page = parse("DU XU >DU DD")
    result = written(page, s0=replace(DOWN, muted=True), s1=replace(UP, accent=True), s2=DOWN, s4=DOWN, s7=UP)
    assert said(result) == {
        0: {"mute added"},
        1: {"accent added"},
        2: {"mute missed"},
        4: {"accent missed"},
        7: {"wrong hand"},
    }
    told = [(one.features[0], one.present) for one in result.evidence if not one.correct]
    assert told == [
        ("mute", False),
        ("accent", False),
        ("mute", True),
        ("accent", True),
        ("direction", True),
    ]


def test_one_mistake_is_said_once() -> None:
    """A stroke taken for a ringing one rings on over what was silent: that is no second mistake."""
    result = written(parse("DU X- -- DU"), s2=DOWN, s3=RING, s4=RING, s5=RING)
    assert said(result) == {2: {"mute missed"}}
    result = written(parse("D- -- -- DU", tempo=60), s1=REST, s2=REST, s3=REST, s4=REST, s5=REST)
    assert said(result) == {1: {"silence added"}}


def test_an_empty_slot_is_not_a_silent_one() -> None:
    page = parse("D- DU . DU")
    result = written(page, s4=None)
    assert said(result) == {4: {"left empty"}}
    assert wrong(result) == [("rest", "skip")]
    assert [one.read for one in result.signs if not one.evidence.correct] == [None]
    assert not grade_dictation(page, blank(page)).right
    assert said(grade_dictation(page, blank(page))) == {slot: {"left empty"} for slot in range(8)}


def test_a_lucky_guess_is_as_likely_as_is_said() -> None:
    """Slots filled with any of the five ways, either hand: signs are right as often as their guess rate.

    A share of n independent answers lies within 4 standard errors (but for 1 in 16,000).
    """
    rng = random.Random(12)
    page = parse("D- XU -. >DU | D- -U .. DD", tempo=60)
    sheet = blank(page)
    count: Counter[tuple[str, float]] = Counter()
    right: Counter[tuple[str, float]] = Counter()
    for _ in range(3000):
        filled = sheet
        for slot in range(len(sheet.slots)):
            filled = filled.filled(slot, rng.choice(CYCLE))
            if rng.random() < 0.5:
                filled = filled.turned(slot)
        for one in grade_dictation(page, filled).evidence:
            if one.present:
                count[one.features[0], one.guess] += 1
                right[one.features[0], one.guess] += one.correct
    assert {feature for feature, _ in count} >= {"beat", "offbeat", "skip", "tie", "rest", "mute", "accent"}
    for (feature, guess), n in count.items():
        share = right[feature, guess] / n
        assert abs(share - guess) <= 4 * (guess * (1 - guess) / n) ** 0.5, (feature, guess, share)


def test_the_number_of_slots_must_fit() -> None:
    page = parse("D DU D DU")
    assert len(grade_dictation(page, slots_of(page)).slots) == 6
    with pytest.raises(ValueError, match="on its ruler 8"):
        grade_dictation(page, [DOWN] * 7)
    with pytest.raises(ValueError, match="choose from"):
        blank(page).filled(0, "plucked")


def test_what_is_written_so_far_can_be_heard() -> None:
    sheet = blank(parse("D- DU -U DU")).tapped(0).tapped(5)
    assert [str(stroke.at) for stroke in sheet.pattern.strokes] == ["0", "5/2"]
    assert not sheet.full


def test_evidence_is_for_signs_of_the_shown_layers() -> None:
    page = parse("D- DU -U DU")
    for layer in LAYERS:
        features = {
            f for one in grade_dictation(page, slots_of(page), [layer]).evidence for f in one.features
        }
        assert ("tie" in features) is (layer == "staff")
        assert ("skip" in features) is (layer in ("letters", "arrows"))


def test_a_sheet_is_a_value() -> None:
    page = parse("D- DU -U DU")
    assert isinstance(blank(page), Sheet)
    assert blank(page).tapped(0) == blank(page).tapped(0) != blank(page)
