"""The shape of a fresh pattern: its rhythm, bar by bar, and the marks on its strokes.

A rhythm is a list of bars, each a list of cells. A phrase begins with a stroke and its later bars take up the
first one and turn its end (common practice: statement, repetition with variation, turn). Whatever is asked
for is put in by hand where chance has left it out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import accumulate
from random import Random

from drillapp.music.difficulty import SIGN_WEIGHTS
from drillapp.music.feature_table import FEATURES
from drillapp.music.meter import Meter

from .cells import Cell, Slots, cells
from .fit import place
from .habits import usual_beats, usual_forms
from .measure import Mark, features, settle

Rhythm = list[list[Cell]]

#: How much cells that are in no deck count, and how much more the complex ones do in harder patterns.
BY_HAND = 0.06
HARDER = 1.5
#: Tries to find cells that go together, and for one of them.
FILLINGS = 4
DRAWS = 8


@dataclass(frozen=True)
class Wish:
    """What a fresh pattern is to be: features it must and may show, its meter, and how hard."""

    asked: frozenset[str]
    allowed: frozenset[str]
    meter: Meter
    difficulty: float


#: Rhythm features that a cell shows by itself; ties come about between cells, marks are put on afterwards.
_CELL_FEATURES = frozenset[str]().union(*(cell.features for cell in (*cells(False), *cells(True))))
IN_CELLS = tuple(
    feature for feature in FEATURES if feature in _CELL_FEATURES - {"beat", "mute", "accent", "direction"}
)


def rhythm(wish: Wish, alike: str, rng: Random) -> Rhythm | None:
    """A rhythm with all that is asked of cells in it; None where chance did not find one.

    ``alike``: a letter for each beat, the same for beats that are to be the same.
    """
    made: Rhythm | None = None
    for _ in range(FILLINGS):
        filled = _filled(wish, alike, rng)
        if filled is not None:
            made = filled
            if not any(_lacks(made, feature) for feature in wish.asked & _CELL_FEATURES):
                break
    if made is None:
        return None
    for feature in IN_CELLS:
        if feature in wish.asked and _lacks(made, feature):
            _put_in(wish, rng, made, alike, feature)
    if "tie" in wish.asked and "tie" not in features(_settled(made), wish.meter, False):
        _tie(wish, rng, made)
    return made if _sounds_right(wish, made) else None


def _settled(made: Rhythm) -> list[Mark]:
    slots = plain(made)
    settle(slots)
    return slots


def chosen_form(wish: Wish, longer: int, rng: Random) -> str:
    """Which beats are to be alike, as usual for these signs in this meter; the bars doubled so often.

    More bars too where one cannot be so hard.
    """
    beats = len(wish.meter.beats)
    forms = usual_forms(wish.asked, wish.meter)
    if not forms or (longer and rng.random() < 0.5):
        bars = min(8, (2 << longer if beats == 1 else 1 << longer))
        names = [int(rng.random() * rng.random() * (beat + 1)) for beat in range(beats * bars)]
        return "".join(chr(ord("A") + name) for name in names)
    one_bar = sum(SIGN_WEIGHTS[feature] for feature in wish.asked | {"offbeat"}) + 0.1
    if not longer and rng.random() < 2 * (wish.difficulty - one_bar):
        forms = {text: usual for text, usual in forms.items() if len(text) > beats} or forms
    return rng.choices(tuple(forms), tuple(forms.values()))[0]


def _lacks(made: Rhythm, feature: str) -> bool:
    """Whether no beat shows it; a plain beat will be written with a dash where skips are asked for."""
    if feature == "skip" and any(len(cell.slots) == 1 for bar in made for cell in bar):
        return False
    return not any(feature in cell.features for bar in made for cell in bar)


def _filled(wish: Wish, alike: str, rng: Random) -> Rhythm | None:
    """A cell for each letter of the form, none for two letters; None where they do not go together."""
    beats = len(wish.meter.beats)
    chosen: dict[tuple[str, bool], Cell] = {}
    made: Rhythm = []
    sounding = False
    before: Cell | None = None
    for number, letter in enumerate(alike):
        beat = number % beats
        compound = wish.meter.is_compound(beat)
        if beat == 0:
            made.append([])
        cell = chosen.get((letter, compound))
        if cell is None:
            choices, usual, _ = _weighed(wish, compound, place(wish.meter, beat), number == 0)
            for draw in range(DRAWS):
                cell = rng.choices(choices, cum_weights=usual)[0]
                new = (
                    cell not in chosen.values() or draw > DRAWS // 2
                )  # where there are few, none may be left
                if new and _fits(wish, cell, beat, before, sounding):
                    break
            else:
                return None
            chosen[letter, compound] = cell
        elif not _fits(wish, cell, beat, before, sounding):
            return None
        sounding = sounding if cell.leaves is None else cell.leaves
        before = cell
        made[-1].append(cell)
    return made


def _drawn(wish: Wish, beat: int, opening: bool, rng: Random, right: Callable[[Cell], bool]) -> Cell | None:
    """One of the cells that are right here, as usual as it is; None where there is none."""
    choices, _, usual = _weighed(wish, wish.meter.is_compound(beat), place(wish.meter, beat), opening)
    fitting = [(cell, weight) for cell, weight in zip(choices, usual, strict=True) if right(cell)]
    if not fitting:
        return None
    return rng.choices([cell for cell, _ in fitting], [weight for _, weight in fitting])[0]


@lru_cache(maxsize=1024)
def _weighed(
    wish: Wish, compound: bool, where: int, opening: bool
) -> tuple[tuple[Cell, ...], tuple[float, ...], tuple[float, ...]]:
    """The cells that may be used, how usual each and all before it are, and each; D is always among them."""
    counted = usual_beats(wish.asked, wish.meter, compound, where)
    found = [cell for cell in cells(compound) if cell.features <= wish.allowed]
    if "skip" not in wish.allowed:
        found = [cell for cell in found if len(cell.slots) == 1 or not cell.gapped]
    if opening:
        late = (".U", ".UDU", ".UD") if "rest" in wish.asked else ()
        found = [cell for cell in found if cell.opens in "DU" or cell.text in late]
    usual = [
        (counted.get(cell.text, 0.0) + BY_HAND * cell.weight)
        * math.exp(HARDER * (wish.difficulty - 0.35) * cell.complexity)
        for cell in found
    ]
    return tuple(found), tuple(accumulate(usual)), tuple(usual)


def _fits(wish: Wish, cell: Cell, beat: int, before: Cell | None, sounding: bool) -> bool:
    """Whether a cell can stand here, after that before it."""
    if cell.opens != "-":
        return True
    pushed = before is not None and before.pushes
    if not sounding or (pushed and "skip" not in wish.allowed):
        return False
    if "tie" in wish.allowed:
        return True
    return beat != 0 and not (pushed and beat in wish.meter.strong)


def _put_in(wish: Wish, rng: Random, made: Rhythm, alike: str, feature: str) -> None:
    """Write the feature into one beat, and into those that are like it."""
    beats = len(wish.meter.beats)
    places = [(b, k) for b, bar in enumerate(made) for k in range(len(bar))]
    rng.shuffle(places)
    for b, k in places:
        compound = wish.meter.is_compound(k)
        those = [
            (n // beats, n % beats)
            for n, letter in enumerate(alike)
            if letter == alike[b * beats + k] and wish.meter.is_compound(n % beats) == compound
        ]
        held = all(_sounding_at(made, *spot) for spot in those)
        cell = _drawn(
            wish,
            k,
            (0, 0) in those,
            rng,
            partial(_shows, feature, held),
        )
        if cell is not None:
            for c, j in those:
                made[c][j] = cell
            return


def _shows(feature: str, ringing: bool, cell: Cell) -> bool:
    return feature in cell.features and (cell.opens != "-" or ringing)


def _pushes(ringing: bool, cell: Cell) -> bool:
    return cell.pushes and (cell.opens != "-" or ringing)


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
        ringing = _sounding_at(made, pb, pk)
        pushing = _drawn(
            wish,
            pk,
            pb == pk == 0,
            rng,
            partial(_pushes, ringing),
        )
        held = _drawn(wish, k, False, rng, lambda cell: cell.opens == "-")
        if held is None:
            continue
        if pushing is not None:
            if not made[pb][pk].pushes:
                made[pb][pk] = pushing
        elif k != 0 or made[pb][pk].leaves is False:
            continue  # held whole beats are tied only over a barline
        if made[b][k].opens != "-":
            made[b][k] = held
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
            held = cell.opens == "-"
            if held and (not sounding or (pushed and "skip" not in wish.allowed)):
                return False
            pushed = cell.pushes or (pushed and cell.text == "-")
            sounding = sounding if cell.leaves is None else cell.leaves
            quiet = 0 if cell.strokes else quiet + 1
            if quiet > 3:
                return False
    return True


def marks(wish: Wish, made: Rhythm, grid: bool, rng: Random) -> list[Mark]:
    """The slots of a rhythm, with mutes, accents and strokes against the hand where still asked for.

    ``grid``: write whole beats with their dashes, as is done anyway where another beat has dashes.
    """
    grid = grid or ("skip" in wish.allowed and any(cell.gapped for bar in made for cell in bar))
    slots = plain(made, wish.meter if grid else None)
    for feature, put in (("direction", _flip), ("mute", _mute), ("accent", _accent)):
        if feature in wish.asked and _lacks(made, feature):
            put(wish, slots, rng)
    return slots


def plain(made: Rhythm, grid: Meter | None = None) -> list[Mark]:
    """The slots of a rhythm; with whole beats written out in the division of ``grid``."""
    return [
        Mark(sign, b, k, n, len(slots), muted, accent, flipped)
        for b, bar in enumerate(made)
        for k, cell in enumerate(bar)
        for slots in [_spelled(cell.slots, grid.is_compound(k)) if grid else cell.slots]
        for n, (sign, muted, accent, flipped) in enumerate(slots)
    ]


def _spelled(slots: Slots, compound: bool) -> Slots:
    if len(slots) > 1:
        return slots
    rest = slots[0] if slots[0][0] == "." else ("-", False, False, False)
    return slots + (rest,) * (2 if compound else 1)


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
