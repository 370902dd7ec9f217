"""What is said of a page that was strummed or written."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from drillapp.drills import SlotResult, StrumResult, WrittenSlot, grade_strum
from drillapp.drills.dictation import WRITTEN_VERDICTS
from drillapp.drills.kinds.by_hand import SlotBySlot
from drillapp.drills.strum.recognised import KINDS
from drillapp.drills.verdicts import VERDICTS
from drillapp.music import parse
from drillapp.words import slots

PAGE = parse("D- DU -U DU", tempo=90)
NOTHING = StrumResult((), 0.0, 0.0, 0.0, 90.0, ())


def take(kind: str, played: int = 3, written: int = 6, tempo: float = 45.0) -> StrumResult:
    return replace(NOTHING, kind=kind, played=played, written=written, asked=90.0, tempo=tempo)


def slot(index: int, *verdicts: str) -> SlotResult:
    return SlotResult(Fraction(index, 2), frozenset(verdicts), index)


def test_every_verdict_has_its_words() -> None:
    assert set(slots.STRUMMED) == set(VERDICTS)
    assert set(slots.WRITTEN_DOWN) == set(WRITTEN_VERDICTS)
    for table in (slots.STRUMMED, slots.WRITTEN_DOWN):
        for verdict, words in table.items():
            for one in (words,) if isinstance(words, str) else words:
                assert one.startswith(f"{verdict} (")


def test_a_slot_is_named_and_its_verdicts_stand_in_order() -> None:
    graded = replace(NOTHING, slots=(slot(0), slot(3, "wrong hand", "late")))
    assert slots.slot_lines(SlotBySlot(PAGE, graded.slots, VERDICTS, played=graded)) == (
        "On the + of 2, an offbeat: late (struck after its time, by the player's own beat); "
        "wrong hand (it strikes up)",
    )
    sheet = (WrittenSlot(Fraction(2), frozenset({"extra"}), 4),)
    written = SlotBySlot(PAGE, sheet, WRITTEN_VERDICTS, written=PAGE)
    assert slots.slot_lines(written) == ("On 3, a skip: extra (the hand goes down past the strings)",)


def test_slips_of_single_rounds_are_counted_and_do_not_count() -> None:
    clean = tuple(slot(index) for index in range(4))
    one, two = (slot(0, "extra"), *clean[1:]), (slot(0, "extra"), slot(1, "left out"), *clean[2:])
    graded = replace(NOTHING, slots=clean, rounds=(one, clean, two))
    assert slots.slot_lines(SlotBySlot(PAGE, graded.slots, VERDICTS, played=graded)) == (
        "The first time through 1 slot more went wrong; the other times decide.",
        "The third time through 2 slots more went wrong; the other times decide.",
    )


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_take_that_is_not_scored_is_said(kind: str) -> None:
    sentence = slots.set_aside(take(kind))
    if kind == "scored":
        assert sentence == ""
    else:
        assert not sentence[0].islower() and sentence.endswith(".") and "%" not in sentence


def test_a_take_names_its_strokes_and_tempos() -> None:
    assert slots.set_aside(take("half time")) == (
        "This was in half time: 45 beats a minute where 90 was counted in. Not scored; try again."
    )
    assert slots.set_aside(take("too few", 1)) == (
        "Only 1 of 6 strokes were played, so this take is not scored. Try it slower."
    )
    assert slots.set_aside(take("too many", 200)) == (
        "200 strokes were played where the page has 6, so this take is not scored."
    )
    assert slots.set_aside(grade_strum(PAGE, 90, [])) == "No stroke was heard, so this take is not scored."


@pytest.mark.parametrize("what", slots.DISTURBANCES)
def test_a_disturbed_take_says_what_came_in_its_way(what: str) -> None:
    assert slots.disturbed(what) == f"The {what} while you played, so this take is not scored. Try it again."


@pytest.mark.parametrize(
    ("lead", "drift", "begins"),
    [
        (0.0, 0.0, "With the click; steady to 12 ms."),
        (0.009, 0.03, "With the click, 3 % faster than counted in; steady to 12 ms."),
        (0.0, -0.03, "With the click, 3 % slower than counted in; steady to 12 ms."),
        (0.02, 0.0, "20 ms ahead of the click; steady to 12 ms."),
        (0.02, 0.04, "20 ms ahead of the click, 4 % faster than counted in; steady to 12 ms."),
        (0.02, -0.04, "20 ms ahead of the click, 4 % slower than counted in; steady to 12 ms."),
        (-0.02, 0.0, "20 ms behind the click; steady to 12 ms."),
        (-0.02, 0.04, "20 ms behind the click, 4 % faster than counted in; steady to 12 ms."),
        (-0.02, -0.04, "20 ms behind the click, 4 % slower than counted in; steady to 12 ms."),
    ],
)
def test_timing_is_said_apart_from_reading(lead: float, drift: float, begins: str) -> None:
    graded = replace(NOTHING, lead=lead, drift=drift, steadiness=0.012)
    assert slots.timing(graded) == f"{begins} That is timing, not reading."


def test_the_verdict_counts_the_slots_that_differ() -> None:
    assert slots.verdict_of_slots(None, True) == "Here it is"
    assert slots.verdict_of_slots(0, True) == "Everything read right"
    assert slots.verdict_of_slots(1, True) == "1 slot differs from what sounded"
    assert slots.verdict_of_slots(2, False) == "2 slots differ from the page"
    assert [slots.slots_left(empty) for empty in (0, 1, 5)] == ["", "1 slot left", "5 slots left"]
    assert [slots.how_often(times) for times in (1, 2, 4)] == ["Once", "Twice", "4 times"]
