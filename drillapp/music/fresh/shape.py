"""The shape of a fresh pattern: its rhythm, bar by bar, and the marks on its strokes.

A rhythm is a list of bars, each a list of cells. A phrase begins with a stroke and its later bars take up the
first one and turn its end (common practice: statement, repetition with variation, turn). Whatever is asked
for is put in by hand where chance has left it out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from random import Random

from drillapp.music.feature_table import FEATURES
from drillapp.music.meter import Meter

from .cells import AFTER, FIRST, FIRST_OF_THREE, HOLD_IN_STEPS, LAST, Cell, cells
from .measure import Mark

Rhythm = list[list[Cell]]

ECHO = 0.22


@dataclass(frozen=True)
class Wish:
    """What a fresh pattern is to be: features it must and may show, its meter, and how hard."""

    asked: frozenset[str]
    allowed: frozenset[str]
    meter: Meter
    difficulty: float


#: Rhythm features that a cell shows by itself; ties come about between cells, marks are put on afterwards.
_CELL_FEATURES = frozenset[str]().union(*(cell.features for cell in (*cells(False), *cells(True))))
IN_CELLS = tuple(feature for feature in FEATURES if feature in _CELL_FEATURES - {"beat"})


def rhythm(wish: Wish, bars: int, rng: Random) -> Rhythm | None:
    """A rhythm of so many bars with all that is asked of cells in it; None where chance did not find one."""
    made = [_bar(wish, rng, True, False, bars == 1)]
    for number in range(1, bars):
        made.append(_next_bar(wish, rng, made, number == bars - 1))
    for feature in IN_CELLS:
        shown = any(feature in cell.features or _gapped(feature, cell) for bar in made for cell in bar)
        if feature in wish.asked and not shown:
            _put_in(wish, rng, made, feature)
    if "tie" in wish.asked:
        _tie(wish, rng, made)
    return made if _sounds_right(wish, made) else None


def _gapped(feature: str, cell: Cell) -> bool:
    """Whether a plain beat will be written with a dash, as it is where skips are asked for."""
    return feature == "skip" and cell.text in ("D", "-")


def _bar(wish: Wish, rng: Random, opening: bool, sounding: bool, closing: bool) -> list[Cell]:
    bar: list[Cell] = []
    before: Cell | None = None
    beats = len(wish.meter.beats)
    echo = beats == 4 and rng.random() < ECHO  # the second half says the first again
    for beat in range(beats):
        if echo and beat >= 2 and _fits(wish, bar[beat - 2], beat, before, sounding):
            before = bar[beat - 2]
            sounding = sounding if before.leaves is None else before.leaves
            bar.append(before)
            continue
        first, last = opening and beat == 0, closing and beat == beats - 1
        choices, usual = _weighed(wish, wish.meter.is_compound(beat), first)
        weights = [
            weight * _fits(wish, cell, beat, before, sounding) * (LAST.get(cell.text, 1.0) if last else 1.0)
            for cell, weight in zip(choices, usual, strict=True)
        ]
        before = rng.choices(choices, weights)[0]
        sounding = sounding if before.leaves is None else before.leaves
        bar.append(before)
    return bar


def _next_bar(wish: Wish, rng: Random, made: Rhythm, closing: bool) -> list[Cell]:
    """Bars take up an earlier one, and more often than not turn its second half."""
    model = made[0 if rng.random() < 0.6 else -1]
    new = _bar(wish, rng, False, _leaves_sounding(made), closing)
    chance = rng.random()
    beats = len(model)
    keep = 0 if chance < 0.4 or beats == 1 else beats // 2 if chance < 0.75 else max(1, beats - 1)
    joined = model[:keep] + new[keep:]
    if joined in made and rng.random() < 0.9:
        joined = _bar(wish, rng, False, _leaves_sounding(made), closing)
    return joined


def _choices(wish: Wish, beat: int, opening: bool) -> tuple[Cell, ...]:
    return _weighed(wish, wish.meter.is_compound(beat), opening)[0]


@lru_cache(maxsize=256)
def _weighed(wish: Wish, compound: bool, opening: bool) -> tuple[tuple[Cell, ...], tuple[float, ...]]:
    """The cells that may be used, and how usual each is at this difficulty; D is always among them."""
    found = [cell for cell in cells(compound) if cell.features <= wish.allowed]
    if "skip" not in wish.allowed:
        found = [cell for cell in found if len(cell.text) == 1 or "-" not in cell.text]
    if opening:
        late = (".U", ".UDU", ".UD") if "rest" in wish.asked else ()
        found = [cell for cell in found if cell.text[0] == "D" or cell.text in late]
    plain_only = all(len(cell.text) == 1 for cell in found)
    usual = [
        cell.weight
        * math.exp(2.2 * (wish.difficulty - 0.35) * cell.complexity)
        * 1.3 ** len(cell.features & wish.asked)
        * (1.6 if "rest" in cell.features & wish.asked else 1.0)
        * (FIRST.get(cell.text, 1.0) if opening else 1.0)
        * (HOLD_IN_STEPS if plain_only and cell.text == "-" else 1.0)
        for cell in found
    ]
    return tuple(found), tuple(usual)


def _fits(wish: Wish, cell: Cell, beat: int, before: Cell | None, sounding: bool) -> float:
    """How well a cell goes here, after that before it."""
    joins = 1.0 if before is None else AFTER.get((before.text, cell.text), 1.0)
    if beat == 0 and len(wish.meter.beats) == 3 and cell.strokes > 1 and not wish.meter.is_compound(0):
        joins *= FIRST_OF_THREE
    if cell.text[0] != "-":
        return joins
    pushed = before is not None and before.pushes
    if not sounding or (pushed and "skip" not in wish.allowed):
        return 0.0
    tied = "tie" in wish.allowed
    if beat == 0:
        return 0.25 * joins if tied else 0.0
    if beat in wish.meter.strong:
        return 0.6 * joins if tied else 0.0 if pushed else 0.05
    return joins


def _put_in(wish: Wish, rng: Random, made: Rhythm, feature: str) -> None:
    places = [(b, k) for b, bar in enumerate(made) for k in range(len(bar))]
    rng.shuffle(places)
    for b, k in places:
        fitting = [
            cell
            for cell in _choices(wish, k, b == k == 0)
            if feature in cell.features and not (cell.text[0] == "-" and not _sounding_at(made, b, k))
        ]
        if fitting:
            made[b][k] = rng.choices(fitting, [cell.weight for cell in fitting])[0]
            return


def _tie(wish: Wish, rng: Random, made: Rhythm) -> None:
    """Hold a stroke over a beat that the staff must show: the middle of a bar first, then barlines."""
    beats = len(wish.meter.beats)
    spots: list[tuple[int, int]] = []
    for b in range(len(made)):
        for k in range(beats):
            if (b, k) == (0, 0):
                continue
            strong = k in wish.meter.strong
            spots += [(b, k)] * (1 if k == 0 else 6 if strong else 3 if beats != 4 else 1)
    rng.shuffle(spots)
    for b, k in spots:
        pb, pk = (b, k - 1) if k else (b - 1, beats - 1)
        pushing = [
            c
            for c in _choices(wish, pk, pb == pk == 0)
            if c.pushes and (c.text[0] != "-" or _sounding_at(made, pb, pk))
        ]
        held = [c for c in _choices(wish, k, False) if c.text[0] == "-"]
        if not held:
            continue
        if pushing:
            if not made[pb][pk].pushes:
                made[pb][pk] = rng.choices(pushing, [c.weight for c in pushing])[0]
        elif k != 0 or made[pb][pk].leaves is False:
            continue  # held whole beats are tied only over a barline
        if made[b][k].text[0] != "-":
            made[b][k] = rng.choices(held, [c.weight for c in held])[0]
        return


def _sounding_at(made: Rhythm, bar: int, beat: int) -> bool:
    """Whether something rings when this beat begins."""
    sounding = False
    for b in range(bar + 1):
        for k, cell in enumerate(made[b]):
            if (b, k) == (bar, beat):
                return sounding
            sounding = sounding if cell.leaves is None else cell.leaves
    return sounding


def _leaves_sounding(made: Rhythm) -> bool:
    return _sounding_at([*made, [made[0][0]]], len(made), 0)


def _sounds_right(wish: Wish, made: Rhythm) -> bool:
    """Nothing held where nothing rings, no bar without a stroke, no gap of four beats, not one bar only."""
    if len(made) > 1 and all(bar == made[0] for bar in made):
        return False  # that would be one bar, written twice
    sounding = pushed = False
    quiet = 0
    for bar in made:
        if not any(cell.strokes for cell in bar):
            return False
        for cell in bar:
            held = cell.text[0] == "-"
            if held and (not sounding or (pushed and "skip" not in wish.allowed)):
                return False
            pushed = cell.pushes or (pushed and cell.text == "-")
            sounding = sounding if cell.leaves is None else cell.leaves
            quiet = 0 if cell.strokes else quiet + 1
            if quiet > 3:
                return False
    return True


def marks(wish: Wish, made: Rhythm, rng: Random) -> list[Mark]:
    """The slots of a rhythm, with mutes, accents and strokes against the hand where asked or allowed."""
    texts = [cell.text for bar in made for cell in bar]
    gaps = any("-" in text or "." in text for text in texts if len(text) > 1)
    subdivided = any(len(text) > 1 for text in texts)
    grid = "skip" in wish.asked or ("skip" in wish.allowed and (gaps or (subdivided and rng.random() < 0.5)))
    slots = plain(made, wish.meter if grid else None)
    for feature, put, habit in (("direction", _flip, 0.0), ("mute", _mute, 0.4), ("accent", _accent, 0.4)):
        if feature in wish.asked or (feature in wish.allowed and rng.random() < habit):
            put(wish, slots, rng)
    return slots


def plain(made: Rhythm, grid: Meter | None = None) -> list[Mark]:
    """The slots of a rhythm without marks; with whole beats written out in the division of ``grid``."""
    return [
        Mark(sign, b, k, n, len(text))
        for b, bar in enumerate(made)
        for k, cell in enumerate(bar)
        for text in [_spelled(cell.text, grid.is_compound(k)) if grid else cell.text]
        for n, sign in enumerate(text)
    ]


def _spelled(text: str, compound: bool) -> str:
    if len(text) > 1:
        return text
    rest = "." if text == "." else "-"
    return text + rest * (2 if compound else 1)


def _mute(wish: Wish, slots: list[Mark], rng: Random) -> None:
    """Scratches fall on the weak beats, or on ups; a muted stroke must not have to ring on."""
    strokes = [slot for slot, after in _with_next(slots) if slot.struck and _may_mute(wish, slot, after)]
    _some(
        strokes,
        rng,
        lambda s: 3.0 if s.number == 0 and _weak(wish.meter, s.beat) else 0.8 if s.number else 0.4,
        lambda s: setattr(s, "muted", True),
    )


def _may_mute(wish: Wish, slot: Mark, after: Sequence[Mark]) -> bool:
    if "rest" in wish.allowed:
        return True
    for later in after:
        if (later.bar, later.beat) != (slot.bar, slot.beat):
            return later.sign != "-"
        if later.sign != "-":
            return True
    return True


def _accent(wish: Wish, slots: list[Mark], rng: Random) -> None:
    """Accents lean on the weak beats, on 1, or on the strokes that are held over a beat."""
    strokes = [slot for slot in slots if slot.struck]
    _some(
        strokes,
        rng,
        lambda s: 3.0 if s.number == 0 and _weak(wish.meter, s.beat) else 1.5 if s.number == 0 else 0.6,
        lambda s: setattr(s, "accent", True),
    )


def _flip(wish: Wish, slots: list[Mark], rng: Random) -> None:
    """Strokes against the hand: downs on the +, a lone up on a number, a beat of three begun with an up."""
    beats: dict[tuple[int, int], list[Mark]] = {}
    for slot in slots:
        beats.setdefault((slot.bar, slot.beat), []).append(slot)

    def usual(slot: Mark) -> float:
        beat = beats[slot.bar, slot.beat]
        alone = sum(other.struck for other in beat) == 1
        opening = slot.bar == slot.beat == slot.number == 0
        if slot.of in (3, 6):
            full = all(other.struck for other in beat) and not opening
            return 3.0 if slot.number == 0 and full else 0.02
        if slot.number == 0:
            return 1.0 if alone and not opening else 0.02
        return 3.0 if slot.of == 2 else 0.4 if slot.number % 2 else 0.05

    def put(slot: Mark) -> None:
        beat = beats[slot.bar, slot.beat]
        for other in beat if slot.of == 3 else (slot,):
            other.flipped = True

    _some([slot for slot in slots if slot.struck and (slot.of != 3 or slot.number == 0)], rng, usual, put)


def _some(
    strokes: list[Mark], rng: Random, usual: Callable[[Mark], float], put: Callable[[Mark], None]
) -> None:
    """Mark one stroke, and as often as not those like it: in the same place of its bar, or of every beat."""
    if not strokes:
        return
    chosen = rng.choices(strokes, [usual(slot) for slot in strokes])[0]
    put(chosen)
    how = rng.random()
    for slot in strokes:
        alike = slot.number == chosen.number and slot.of == chosen.of and usual(slot) == usual(chosen)
        same_place = slot.beat == chosen.beat and slot.bar != chosen.bar
        if slot is not chosen and alike and (how < 0.45 or (how < 0.65 and same_place) or rng.random() < 0.1):
            put(slot)


def _weak(meter: Meter, beat: int) -> bool:
    return beat not in meter.strong


def _with_next(slots: list[Mark]) -> list[tuple[Mark, Sequence[Mark]]]:
    return [(slot, slots[n + 1 :]) for n, slot in enumerate(slots)]
