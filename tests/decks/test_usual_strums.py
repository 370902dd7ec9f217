"""What is strummed everywhere is in the course (common practice, no source: the list is our own).

A strum counts as being there where a pattern is it, over one bar or several, or begins or ends with it.
"""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from drillapp.decks.load import load_decks
from drillapp.music import parse
from drillapp.music.fresh.make import same_page
from drillapp.music.pattern import Pattern

DECKS, _ = load_decks()
WRITTEN = [written.pattern for deck in DECKS for written in deck.patterns]

USUAL = {
    "4/4": (
        # the first lessons
        "D D D D",
        "D - D -",
        "D - - -",
        "D D D -",
        "D DU D DU",
        "D D D DU",
        "D D DU DU",
        "D DU DU DU",
        "DU DU DU DU",
        "DD DD DD DD",
        # song strums
        "D- D- -U DU",
        "D- DU -U DU",
        "D- DU -U D-",
        "D- -U DU DU",
        "D- -U D- DU",
        "D- -U -U DU",
        "DU -U -U DU",
        "DU -U DU -U",
        # stopped, scratched, leaned
        "D X D X",
        "D- XU D- XU",
        "DU XU DU XU",
        "D- >DU D- >DU",
        "D >D D >D",
        ". D. . D.",
        ".U .U .U .U",
        ".U -U -U -U",
        "XU XU XU XU",
        "DX DX DX DX",
        "DX >DX DX >DX",
        "DD >DD DD >DD",
        "XX XX XX XX",
        # threes in four
        "D- -U -- D-",
        "D- DU -U D- | D- D- D- --",
        # sixteenths
        "DUDU DUDU DUDU DUDU",
        "D-DU D-DU D-DU D-DU",
        "DUD- DUD- DUD- DUD-",
        "DU-U DU-U DU-U DU-U",
        "D-DU -UDU D-DU -UDU",
        "D-DU X-DU D-DU X-DU",
        "D- D-DU D- D-DU",
        "D--U --D- D--U --D-",
        "XXXX XXXX XXXX XXXX",
        "DXXX DXXX DXXX DXXX",
        "XXXU XXXU XXXU XXXU",
        # claves
        "D- -U -- D- | -- D- D- --",
        "D- -U -- -U | -- D- D- --",
        "D- -U -- D- | -- D- -U --",
        # triplets
        "D-U D-U D-U D-U",
        "DUD DUD DUD DUD",
    ),
    "3/4": ("D D D", "D DU DU", "DU DU DU", "D- -U DU", "D X X", ". D. D.", "D- DU D-"),
    "2/4": ("D DU", "DU DU", "D-DU D-", "D--U --D-"),
    "2/2": ("D D", "D-DU D-DU"),
    "6/8": ("D D", "D-U D-U", "DUD DUD", "DUD >DUD", "DUD UDU", "D-- DUD"),
    "9/8": ("D-- D-U D-U",),
    "12/8": ("D-U D-U D-U D-U", "DUD DUD DUD DUD", "D-U X-U D-U X-U", "D-U >D-U D-U >D-U"),
}
SWUNG = ("DU DU DU DU", "D DU D DU", "D- >DU D- >DU", "D- XU D- XU", "D- DU -U DU")


def ends(pattern: Pattern, bars: int) -> Iterable[Pattern]:
    """The pattern, its first bars and its last ones."""
    texts = pattern.text.split(" | ")
    for part in (texts, texts[:bars], texts[-bars:]):
        yield parse(" | ".join(part), pattern.meter.text, swing=pattern.swing)


PAGES = {same_page(part) for pattern in WRITTEN for bars in (1, 2) for part in ends(pattern, bars)}


@pytest.mark.parametrize(
    ("text", "meter"), [(text, meter) for meter, texts in USUAL.items() for text in texts]
)
def test_a_usual_strum_is_in_the_course(text, meter):
    assert same_page(parse(text, meter)) in PAGES


@pytest.mark.parametrize("text", SWUNG)
def test_a_usual_swung_strum_is_in_the_course(text):
    assert same_page(parse(text, swing="2:1")) in PAGES


def test_the_course_is_large_enough_to_practise_from():
    assert len(DECKS) >= 24
    assert len(WRITTEN) >= 450


def test_mutes_come_on_the_way_up_and_on_sixteenths_too():
    """The hand that scratches is not always on its way down (common practice, no source)."""
    up = [
        any(place.struck and place.slot.muted and place.slot.hand == "up" for place in pattern.places)
        for pattern in WRITTEN
    ]
    on_e_or_a = [
        any(
            place.struck and place.slot.muted and place.of == 4 and place.number % 2
            for place in pattern.places
        )
        for pattern in WRITTEN
    ]
    assert sum(up) >= 60
    assert sum(on_e_or_a) >= 40


@pytest.mark.parametrize("shape", ["DUD-", "DU-U", "D-DU", "-UDU"])
def test_one_skip_stands_in_each_place_of_a_beat_of_sixteenths(shape):
    assert sum(shape in pattern.text.split() for pattern in WRITTEN) >= 5


@pytest.mark.parametrize("place", range(4))
def test_a_mute_stands_in_each_place_of_a_beat_of_sixteenths(place):
    found = [
        pattern
        for pattern in WRITTEN
        if any(
            one.struck and one.slot.muted and one.of == 4 and one.number == place for one in pattern.places
        )
    ]
    assert len(found) >= 10
