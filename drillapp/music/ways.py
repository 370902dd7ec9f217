"""Factors: the places of a pattern that can be written in more than one way.

A *factor* is a place (or a property of the whole pattern) and the *ways* that it may be written: struck,
muted, tied on or silent; accented or plain; here or a slot later; hand down or up; a beat in two or in
three; even or swung; with a beat more or less in the bar. ``write`` applies one way of each factor.
Slot changes come first and changes of structure after them, so that slot indexes always mean those of
the pattern the factors were found in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal, get_args

from .feature_table import FEATURE_TABLE, FEATURES, FactorKind
from .features import Sign, sign_set, swung
from .meter import Meter
from .pattern import Pattern, Place
from .slots import REST, RING, Bar, Hand, Slot, has_hand_rule, natural_hand

Structure = Literal["", "in two", "in three", "even", "swung", "beat more", "beat less"]
#: the words for how a place may be written, and may be read
STRUCK, MUTED, RINGING, SILENT = "struck", "muted", "tied on", "silent"
ACCENTED, PLAIN, SWUNG, EVEN = "accented", "plain", "swung", "even"
NOT_STRUCK = "not struck"
MAY_CHANGE: dict[FactorKind, frozenset[str]] = {  # the features that each kind of factor could be about
    kind: frozenset(name for name, row in FEATURE_TABLE.items() if kind in row.changed_by)
    for kind in get_args(FactorKind)
}
STRUCTURAL: tuple[FactorKind, ...] = ("division", "swing", "meter")
_ALTERNATE: tuple[Hand, ...] = ("down", "up", "down")
USUAL_SWING = Fraction(2)


@dataclass(frozen=True)
class Way:
    """One way to write a factor: its name, and the slots that it sets (by index) or the structure."""

    name: str
    slots: tuple[tuple[int, Slot], ...] = ()
    structure: Structure = ""


@dataclass(frozen=True)
class Factor:
    """A place at ``at`` (quarters; slot ``index``) that is written in one of two to four ``ways``."""

    kind: FactorKind
    at: Fraction
    index: int
    ways: tuple[Way, ...]
    length: Fraction = Fraction(0)

    @property
    def stretch(self) -> tuple[Fraction, Fraction]:
        """From where to where (quarters) the place reaches; signs beyond it change only in consequence."""
        return self.at, self.at + self.length

    @property
    def touches(self) -> frozenset[int]:
        """Indexes of the slots that some way sets."""
        return frozenset(index for way in self.ways for index, _ in way.slots)


def factors(pattern: Pattern) -> tuple[Factor, ...]:
    """Every factor of the pattern with all its ways; which of them can be told apart is for the asker."""
    found: list[Factor] = []
    for place in pattern.places:
        found.extend(_at_place(pattern, place))
    found.extend(_divisions(pattern))
    ratio = pattern.swing or USUAL_SWING
    if swung(replace(pattern, swing=ratio)):
        ways = (Way("even", structure="even"), Way("swung", structure="swung"))
        found.append(Factor("swing", Fraction(0), 0, ways))
    found.extend(_meters(pattern))
    return tuple(found)


def write(pattern: Pattern, choices: Sequence[tuple[Factor, Way]]) -> Pattern:
    """The pattern with each factor written in the way given.

    Raises ValueError where two factors set the same slot or more than one changes the structure.
    """
    changes: dict[int, Slot] = {}
    structural = [(factor, way) for factor, way in choices if way.structure]
    if len(structural) > 1:
        raise ValueError("only one factor of a set may change the structure of the pattern")
    for factor, way in choices:
        for index, slot in way.slots:
            if index in changes:
                raise ValueError(f"two factors set slot {index}, the second at {factor.at}")
            changes[index] = slot
    written = pattern.with_slots(changes) if changes else pattern
    for factor, way in structural:
        written = _restructured(written, factor, way)
    return written


def changed(first: Pattern, second: Pattern, layers: Iterable[str]) -> frozenset[Sign]:
    """The signs that stand in one of two patterns and not in the other, on the shown layers.

    >>> from .text import parse
    >>> tied, struck = parse("D- DU -U DU"), parse("D- DU DU DU")
    >>> sorted({sign.feature for sign in changed(tied, struck, ["letters", "staff"])})
    ['beat', 'skip', 'tie']
    """
    return sign_set(first, layers) ^ sign_set(second, layers)


def in_table_order(features: Iterable[str]) -> tuple[str, ...]:
    """Features, each once, in the order of FEATURES."""
    asked = set(features)
    return tuple(feature for feature in FEATURES if feature in asked)


def _at_place(pattern: Pattern, place: Place) -> Iterator[Factor]:
    struck = _struck(pattern, place)
    tail = _tail(pattern, place)
    ringing = tuple((later.index, RING if place.slot.action == "rest" else later.slot) for later in tail)
    ways = (
        Way(STRUCK, ((place.index, struck), *ringing)),
        Way(MUTED, ((place.index, replace(struck, muted=True)), *ringing)),
        Way(RINGING, ((place.index, RING), *ringing)),
        Way(SILENT, ((place.index, REST), *((later.index, REST) for later in tail))),
    )
    yield Factor("stroke", place.at, place.index, ways, place.length)
    if place.struck:
        plain = replace(place.slot, accent=False)
        accents = (
            Way(PLAIN, ((place.index, plain),)),
            Way(ACCENTED, ((place.index, replace(plain, accent=True)),)),
        )
        yield Factor("accent", place.at, place.index, accents, place.length)
        if has_hand_rule(place.number, place.of):
            down, up = replace(place.slot, hand="down"), replace(place.slot, hand="up")
            hands = (Way("down", ((place.index, down),)), Way("up", ((place.index, up),)))
            yield Factor("hand", place.at, place.index, hands, place.length)
        if tail and tail[0].bar == place.bar:
            later = tail[0]
            moved = replace(place.slot, hand=_struck(pattern, later).hand)
            here = ((place.index, place.slot), (later.index, later.slot))
            yield Factor(
                "shift",
                place.at,
                place.index,
                (Way("here", here), Way("a slot later", ((place.index, RING), (later.index, moved)))),
                place.length + later.length,
            )


def _struck(pattern: Pattern, place: Place) -> Slot:
    if place.struck:
        return replace(place.slot, muted=False, accent=False)
    second = pattern.places[place.index - 1].struck if place.number == 2 else False
    return Slot("strike", natural_hand(place.number, place.of, second))


def _tail(pattern: Pattern, place: Place) -> tuple[Place, ...]:
    """The places after this one up to the next stroke."""
    tail: list[Place] = []
    for later in pattern.places[place.index + 1 :]:
        if later.struck:
            break
        tail.append(later)
    return tuple(tail)


def _divisions(pattern: Pattern) -> Iterator[Factor]:
    """Beats whose every slot is struck and that could be in two or in three."""
    for place in pattern.places:
        if place.number or pattern.meter.is_compound(place.beat) or place.of not in (2, 3):
            continue
        beat = pattern.bars[place.bar][place.beat]
        if all(slot.action == "strike" for slot in beat):
            # Both ways hold on to the beat's slots, so that no other factor of a set touches them.
            held = tuple((place.index + number, slot) for number, slot in enumerate(beat))
            ways = (Way("in two", held, "in two"), Way("in three", held, "in three"))
            yield Factor("division", place.at, place.index, ways, place.length * place.of)


def _meters(pattern: Pattern) -> Iterator[Factor]:
    beats = len(pattern.meter.beats)
    if pattern.meter.is_additive or beats < 2 or len(set(pattern.meter.beats)) > 1:
        return
    change: Structure = "beat less" if beats > 2 else "beat more"
    more = beats - 1 if beats > 2 else beats + 1
    ways = (Way(f"{beats} beats", structure="even"), Way(f"{more} beats", structure=change))
    if _resized(pattern.meter, more) is not None:
        yield Factor("meter", Fraction(0), 0, ways)


def _resized(meter: Meter, beats: int) -> Meter | None:
    """The same kind of beat, another number of them; None where no single meter writes that."""
    parts = (3 if meter.is_compound(0) else 1) * beats
    resized = Meter((parts,), meter.denominator)
    if parts < 1 or resized.beats != (meter.beats[0],) * beats:
        return None
    return resized


def _restructured(pattern: Pattern, factor: Factor, way: Way) -> Pattern:
    if factor.kind == "swing":
        return replace(pattern, swing=(pattern.swing or USUAL_SWING) if way.structure == "swung" else None)
    if factor.kind == "meter":
        if way.structure == "even":
            return pattern
        more = way.structure == "beat more"
        meter = _resized(pattern.meter, len(pattern.meter.beats) + (1 if more else -1))
        assert meter is not None  # such a factor is not made
        bars = tuple((*bar, bar[-1]) if more else bar[:-1] for bar in pattern.bars)
        return replace(pattern, bars=bars, meter=meter)
    index = 0
    bars_out: list[Bar] = []
    for bar in pattern.bars:
        beats = []
        for beat in bar:
            if index == factor.index:
                hands = _ALTERNATE[: 2 if way.structure == "in two" else 3]
                marks = [replace(beat[min(n, len(beat) - 1)], hand=hand) for n, hand in enumerate(hands)]
                beats.append(tuple(marks))
            else:
                beats.append(beat)
            index += len(beat)
        bars_out.append(tuple(beats))
    return replace(pattern, bars=tuple(bars_out))
