"""The conditions of asking: values by arithmetic from the module's own line of four slots a second."""

from __future__ import annotations

from drillapp.practice.conditions import FAST, MET, STAFF_ONLY, conditions_of

EIGHTHS = "D- DU -U DU"  # two slots a beat
SIXTEENTHS = "D-DU -UDU D-DU -UDU"
LETTERS = ("letters", "staff")


def test_eighths_at_120_are_four_slots_a_second_and_not_yet_fast() -> None:
    # 2 slots * 120 beats a minute / 60 s = 4 slots a second
    assert conditions_of(True, EIGHTHS, 120, LETTERS) == ()
    assert conditions_of(True, EIGHTHS, 121, LETTERS) == (FAST,)


def test_sixteenths_at_60_are_four_slots_a_second_and_not_yet_fast() -> None:
    assert conditions_of(True, SIXTEENTHS, 60, LETTERS) == ()
    assert conditions_of(True, SIXTEENTHS, 60.5, LETTERS) == (FAST,)


def test_mutes_rests_and_given_directions_are_slots_and_marks_are_none() -> None:
    # D > U . X, then d u: 3 slots with a mark and 2 without in two beats: 2.5 a beat, 4 a second at 96
    assert conditions_of(True, ">DX. du", 96, LETTERS) == ()
    assert conditions_of(True, ">DX. du", 97, LETTERS) == (FAST,)


def test_bar_lines_and_the_number_of_bars_make_nothing_faster() -> None:
    assert conditions_of(True, f"{EIGHTHS} | {EIGHTHS}", 120, LETTERS) == ()
    assert conditions_of(True, f"{EIGHTHS} | {EIGHTHS}", 121, LETTERS) == (FAST,)


def test_a_text_without_beats_is_not_fast() -> None:
    assert conditions_of(True, "", 200, LETTERS) == ()


def test_the_staff_alone_is_a_staff_without_letters_or_arrows() -> None:
    assert conditions_of(True, EIGHTHS, 90, ("staff",)) == (STAFF_ONLY,)
    assert conditions_of(True, EIGHTHS, 90, ("counts", "staff", "bows")) == (STAFF_ONLY,)
    assert conditions_of(True, EIGHTHS, 90, ("arrows", "staff")) == ()
    assert conditions_of(True, EIGHTHS, 90, ("counts",)) == ()


def test_what_was_met_is_named_first() -> None:
    assert conditions_of(False, EIGHTHS, 90, LETTERS) == (MET,)
    assert conditions_of(False, SIXTEENTHS, 90, ("staff",)) == (MET, FAST, STAFF_ONLY)
