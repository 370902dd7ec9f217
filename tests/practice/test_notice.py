"""What the user is told unasked: which notices stand together, and which take another's place."""

from __future__ import annotations

from typing import get_args

import pytest

from drillapp.practice.notice import STATES, Kind, Notice, with_notice, without_kind

KINDS = get_args(Kind)


@pytest.mark.parametrize("kind", sorted(STATES))
def test_of_a_state_only_the_newest_notice_holds(kind: Kind) -> None:
    rescued = Notice("log", "3 answers were saved.")
    shown = with_notice((Notice(kind, "before"), rescued), Notice(kind, "after"))
    assert shown == (rescued, Notice(kind, "after"))


@pytest.mark.parametrize("kind", sorted(set(KINDS) - STATES))
def test_what_happened_is_told_each_time(kind: Kind) -> None:
    first, second = Notice(kind, "one thing"), Notice(kind, "another thing")
    assert with_notice((first,), second) == (first, second)


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_is_not_told_twice(kind: Kind) -> None:
    told = (Notice(kind, "this"), Notice("failure", "that"))
    assert with_notice(told, Notice(kind, "this")) == told


def test_the_words_of_a_notice_decide_nothing() -> None:
    deck = Notice("decks", "No sound device.toml cannot be put back.")
    gone, off = Notice("sound", "No sound device answers."), Notice("sound", "Sound is switched off.")
    assert with_notice((deck, gone), off) == (deck, off)
    assert without_kind((deck, off), "sound") == (deck,)
