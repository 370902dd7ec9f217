"""What a teacher should know of a deck that can be read: patterns no hand can play, the same pattern twice,
signs that are used before the deck that opens them. These are warnings, not faults."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import TypeAlias

from drillapp.music.course import opened_by
from drillapp.music.difficulty import against_the_hand, hindrances
from drillapp.music.errors import Named
from drillapp.music.features import features_of, swung
from drillapp.music.pattern import Pattern

from .deck import Deck, DeckPattern
from .faults import Fault

_Event: TypeAlias = tuple[Fraction, Fraction, bool, bool, bool, Fraction]
LoopKey: TypeAlias = tuple[str, "Fraction | None", tuple[_Event, ...]]


def loop_key(pattern: Pattern) -> LoopKey:
    """The same for patterns that are one loop, on whichever beat they begin and however often they repeat.

    A turn by less than a beat is another loop: the foot and the hand go the other way in it.

    >>> from drillapp.music import parse
    >>> loop_key(parse("D DU D D")) == loop_key(parse("DU D D D")) == loop_key(parse("D D D DU | D D D DU"))
    True
    """
    struck = [place for place in pattern.places if place.struck]
    strokes = pattern.strokes
    ends = [stroke.at for stroke in strokes[1:]] + [strokes[0].at + pattern.length] if strokes else []
    events = [
        (
            end - stroke.at,
            stroke.length,
            stroke.muted,
            stroke.accent,
            against_the_hand(place),
            Fraction(place.number, place.of),
        )
        for stroke, end, place in zip(strokes, ends, struck, strict=True)
    ]
    return pattern.meter.text, pattern.swing if swung(pattern) else None, _least_turn(_period(events))


def warnings(decks: Iterable[Deck]) -> tuple[Fault, ...]:
    """What to look at again in these decks, in their order and line by line."""
    seen: dict[LoopKey, tuple[Deck, DeckPattern]] = {}
    found: list[Fault] = []
    for deck in decks:
        for written in deck.patterns:
            found.extend(
                Fault(
                    deck.source,
                    written.line,
                    1,
                    f"{written.title}: {message}",
                    warning=True,
                    code=code,
                    places={"title": written.title, **places},
                )
                for message, code, places in _of_pattern(deck, written, seen)
            )
    return tuple(found)


def _of_pattern(
    deck: Deck, written: DeckPattern, seen: dict[LoopKey, tuple[Deck, DeckPattern]]
) -> Iterator[tuple[str, str, Named]]:
    """What to say of a pattern, each as a sentence with its code and places."""
    pattern = written.pattern
    tempo = written.tempo_high
    for hindrance in hindrances(pattern, tempo):
        message = f"at {tempo} beats a minute, {hindrance}; lower the tempo_range"
        yield message, "pattern-hindered", {"tempo": tempo, "hindrance": hindrance}
    key = loop_key(pattern)
    if key in seen:
        other_deck, other = seen[key]
        where = "" if other_deck is deck else f" of {other_deck.source}"
        again = other.pattern.bars == pattern.bars
        same = "is the same pattern" if again else "is the same loop, begun elsewhere"
        message = f"{other.title!r} in line {other.line}{where} {same}; change one or take it away"
        code = "pattern-twice" if again else "loop-twice"
        yield message, code, {"other": other.title, "line": other.line, "file": other_deck.source}
    else:
        seen[key] = deck, written
    opened = deck.signs or opened_by(deck.name)
    if opened:
        early = sorted(features_of(pattern) - set(opened) - {"meter"})
        if early:
            kept = sorted(opened)
            message = f"uses {', '.join(early)} before its deck; the deck keeps to {', '.join(kept)}"
            yield message, "signs-early", {"early": early, "kept": kept}


def _period(events: list[_Event]) -> list[_Event]:
    for size in range(1, len(events) // 2 + 1):
        if len(events) % size == 0 and events == events[:size] * (len(events) // size):
            return events[:size]
    return events


def _least_turn(events: list[_Event]) -> tuple[_Event, ...]:
    return tuple(min((events[n:] + events[:n] for n in range(len(events))), default=[]))
