"""Fresh patterns without end: musical, playable, with the signs that are asked for and no strange ones.

A fresh pattern shows every feature asked for, and beside them only features that those build on (see
``course.BUILDS_ON``), so that it never holds a sign its reader has not come to. It is made of cells
(``cells``) in a phrase (``shape``); of several such, the one nearest to the difficulty asked for
is taken, and its tempo does the rest. The same seed gives the same pattern.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from random import Random

from drillapp.music.course import builds_on
from drillapp.music.difficulty import difficulty_of
from drillapp.music.feature_table import FEATURES
from drillapp.music.meter import Meter
from drillapp.music.pattern import Pattern

from .measure import Mark, bars_of, fastest, features, settle, syncopated
from .shape import Rhythm, Wish, chosen_form, marks, plain, rhythm

CANDIDATES = 5
TRIES = 300
#: Tries in one form before another is chosen, and before longer ones are.
SAME_FORM = 6
LONGER_AFTER = 48
SWING = Fraction(2)
SLOWEST = 30
NEAR_ENOUGH = 0.05
#: Slowest and fastest tempo that make sense, by the finest division of a simple or a compound beat.
TEMPOS = {
    False: {1: (60, 116), 2: (60, 112), 3: (52, 92), 4: (46, 84), 6: (40, 66)},
    True: {1: (44, 84), 2: (44, 80), 3: (40, 76), 4: (40, 66), 6: (36, 60)},
}


def fresh(
    features: Iterable[str],
    meter: str | Meter,
    difficulty: float,
    seed: int | str,
    avoid: Iterable[Pattern | str] = (),
) -> Pattern:
    """A pattern in ``meter`` that shows all ``features``, as near to ``difficulty`` (0 to 1) as such can be.

    ``avoid``: patterns, or their texts, never to give, at whatever tempo they were. Raises ValueError for an
    unknown feature, meter or difficulty, and where no such pattern exists or none is left.

    >>> from drillapp.music.features import features_of
    >>> pattern = fresh(("tie", "mute"), "4/4", 0.4, seed=3)
    >>> {"tie", "mute"} <= features_of(pattern)
    True
    >>> fresh(("triplet",), "6/8", 0.5, seed=1)
    Traceback (most recent call last):
    ValueError: 6/8 has no beat that divides in two, so no triplet; ask for it in 4/4
    """
    wish = _wish(features, meter, difficulty)
    rng = Random(seed)
    met = avoid if isinstance(avoid, (set, frozenset, tuple, list)) else tuple(avoid)
    barred: set[object] | None = None
    for attempt in range(TRIES):
        if attempt % SAME_FORM == 0:
            alike = chosen_form(wish, attempt // LONGER_AFTER, rng)
        pattern = _best(wish, alike, rng)
        if pattern is None:
            continue
        if met:
            barred = barred if barred is not None else {_key(other) for other in met}
            if not barred.isdisjoint((same_page(pattern), _page(pattern.text))):
                continue
        return pattern
    asked = ", ".join(sorted(wish.asked)) or "no special sign"
    left = "is left that was not met before" if met else "could be found"
    raise ValueError(
        f"no pattern with {asked} in {wish.meter.text} {left}; ask for other signs or another meter"
    )


def same_page(pattern: Pattern) -> object:
    """The same for patterns that say the same to a reader, however often they repeat it and at what tempo."""
    return pattern.meter.text, pattern.swing, _page(pattern.text)


def _key(met: Pattern | str) -> object:
    return _page(met) if isinstance(met, str) else same_page(met)


@lru_cache(maxsize=1024)
def _page(text: str) -> tuple[str, ...]:
    bars = [" ".join(_plainest(beat) for beat in bar.split()) for bar in text.split("|")]
    for size in range(1, len(bars) // 2 + 1):
        if len(bars) % size == 0 and bars == bars[:size] * (len(bars) // size):
            return tuple(bars[:size])
    return tuple(bars)


def _plainest(beat: str) -> str:
    """A beat without slots that only go on: ``D-`` and ``D`` are one, ``D-U-`` and ``DU`` too."""
    if len(set(beat[1:])) == 1 and beat[1] == "-":
        return beat[0]
    if ">" not in beat and len(beat) == 4 and beat[1] == beat[3] == "-":
        return beat[0] + beat[2]
    return beat


def _wish(features: Iterable[str], meter: str | Meter, difficulty: float) -> Wish:
    asked = frozenset((features,) if isinstance(features, str) else features)
    unknown = sorted(str(feature) for feature in asked if feature not in FEATURES)
    if unknown:
        raise ValueError(f"{unknown[0]!r} is not a feature; choose from {', '.join(FEATURES)}")
    if not isinstance(difficulty, (int, float)) or not 0 <= difficulty <= 1:
        raise ValueError(f"difficulty {difficulty!r} is not a number from 0 (easiest) to 1")
    measure = meter if isinstance(meter, Meter) else Meter.parse(meter)
    compound = [measure.is_compound(beat) for beat in range(len(measure.beats))]
    for feature in sorted(asked & {"offbeat", "triplet", "swing"}):
        if all(compound):
            raise ValueError(
                f"{measure.text} has no beat that divides in two, so no {feature}; ask for it in 4/4"
            )
    if "compound" in asked and not any(compound):
        raise ValueError(f"{measure.text} has no beat that divides in three; ask for compound in 6/8")
    allowed = set(builds_on(asked or {"beat"})) | {"beat", "meter"}
    if any(compound) and allowed & {"offbeat", "skip"}:
        allowed.add("compound")  # the plain division of such a beat
    return Wish(asked, frozenset(allowed), measure, float(difficulty))


def _best(wish: Wish, alike: str, rng: Random) -> Pattern | None:
    """The nearest to the difficulty of several rhythms, marked and at the tempo that brings it nearest."""
    tried = (rhythm(wish, alike, rng) for _ in range(CANDIDATES))
    found = [made for made in tried if made is not None]
    found.sort(key=lambda made: _away(wish, made))
    for made in found:
        written = _written(wish, made, "skip" in wish.asked, rng)
        if written is None:
            continue
        if written[0] > NEAR_ENOUGH and "skip" in wish.allowed - wish.asked:
            dashed = _written(wish, made, True, rng)  # whole beats with their dashes are harder to read
            written = dashed if dashed is not None and dashed[0] < written[0] else written
        return written[1]
    return None


def _written(wish: Wish, made: Rhythm, grid: bool, rng: Random) -> tuple[float, Pattern] | None:
    """The rhythm marked and at its tempo, how much too easy first; None where it is not as asked."""
    slots = marks(wish, made, grid, rng)
    settle(slots)
    present = features(slots, wish.meter, "swing" in wish.asked)
    if wish.asked <= present <= wish.allowed | {"skip"}:
        return _at_tempo(wish, slots, len(made), present, rng)
    return None


def _away(wish: Wish, made: Rhythm) -> float:
    """How far from the difficulty asked for a rhythm is at its usual tempo, roughly; 0 where near enough."""
    cells = [cell for bar in made for cell in bar]
    shown = wish.asked.union(*(cell.features for cell in cells))
    a_beat = sum(len(cell.slots) for cell in cells) / len(cells)
    finest = max(len(cell.slots) for cell in cells)
    tempo = _usual_tempo(wish.meter, finest, "swing" in wish.asked)[0]
    synced = syncopated(plain(made), wish.meter)
    hard = difficulty_of(shown, wish.meter, len(made), synced, a_beat * tempo / 60)
    return max(0.0, abs(hard - wish.difficulty) - NEAR_ENOUGH)


def _at_tempo(
    wish: Wish, slots: list[Mark], bars: int, present: frozenset[str], rng: Random
) -> tuple[float, Pattern] | None:
    swing = SWING if "swing" in wish.asked else None
    finest = max(slot.of for slot in slots)
    low, high = _tempos(wish.meter, finest)
    top = int(min(high, fastest(slots, wish.meter, bars, swing)))
    if top < SLOWEST:
        return None
    low = min(low, top)
    synced = syncopated(slots, wish.meter)
    a_beat = len(slots) / float(wish.meter.length / wish.meter.unit * bars)

    # Difficulty grows with tempo between two bounds, and evenly, so two points give the tempo.
    slow, quick = (
        difficulty_of(present, wish.meter, bars, synced, a_beat * tempo / 60) for tempo in (low, top)
    )
    usual = min(top, max(low, rng.choice(_usual_tempo(wish.meter, finest, swing is not None))))
    easy = wish.difficulty - slow
    if quick > slow:
        at_usual = slow + (quick - slow) * (usual - low) / (top - low)
        away = wish.difficulty - at_usual
        if abs(away) > NEAR_ENOUGH:
            needed = away - NEAR_ENOUGH if away > 0 else away + NEAR_ENOUGH
            usual = 2 * round((usual + (top - low) * needed / (quick - slow)) / 2)
        usual = min(top, max(low, usual))
        easy -= (quick - slow) * (usual - low) / (top - low)
    return easy, Pattern(bars_of(slots), wish.meter, usual, swing)


def _usual_tempo(meter: Meter, finest: int, swung: bool) -> tuple[int, ...]:
    if meter.is_additive or swung:
        return (96,)
    if meter.unit.numerator == 3:
        return (54,)
    return {1: (80, 76, 84), 2: (80, 76, 84, 84, 88), 3: (72,), 4: (62, 58, 66), 6: (52,)}[finest]


def _tempos(meter: Meter, finest: int) -> tuple[int, int]:
    return TEMPOS[meter.unit.numerator == 3][finest]
