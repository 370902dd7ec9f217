"""What a strummed page says about reading: one opportunity for each sign that the page shows.

A stroke where the page shows a skip, tie or rest is that sign misread; a place kept is that sign read right.
Two layers that show the same thing at one place (a dash and a tie) are one opportunity about both. Reading
something that is not there (a mute, an accent, swing) is evidence too, marked as not present. There is no
guessing: a hand that does not read does not strike the right slots by chance. Early and late strokes are
timing, not reading, and say nothing about any sign. The count-in tells the meter, so a strummed page says
nothing about reading it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from drillapp.music import FEATURE_TABLE, FEATURES, Pattern, Place, notes, place_feature
from drillapp.music.features import sign_set
from drillapp.music.pattern import has_hand_rule, natural_hand

from .pick import BASIC, Evidence

HAND_LAYERS = frozenset(FEATURE_TABLE["direction"].layers)


def strum_evidence(
    pattern: Pattern,
    layers: tuple[str, ...],
    verdicts: Sequence[frozenset[str]],
    accents_judged: bool = True,
    swing: bool | None = None,
) -> tuple[Evidence, ...]:
    """Evidence of a strummed pattern, in the order of its slots.

    ``verdicts``: for each slot what was wrong with it; ``accents_judged``: whether accents could be told;
    ``swing``: whether it was played swung, None where it could not be told.
    """
    shown = set(layers)
    evidence: list[Evidence] = []
    chances = _chances(pattern, layers)
    broken = {c.rest for c, wrong in zip(chances, verdicts, strict=True) if "extra" in wrong}
    for place, chance, wrong in zip(pattern.places, chances, verdicts, strict=True):
        if place.struck:
            evidence.extend(_stroke(shown, place, chance, wrong, accents_judged))
        else:
            evidence.extend(_silence(chance, wrong, chance.rest in broken))
    if swing is not None and (swing or pattern.swing) and "staff" in shown:
        evidence.append(Evidence(("swing",), swing is (pattern.swing is not None), 0.0, bool(pattern.swing)))
    return tuple(evidence)


@dataclass(frozen=True)
class _Chance:
    """What one slot gives to read: where it falls; the signs of its silence; its rest, and if it opens it."""

    onset: str
    onset_shown: bool
    silence: tuple[str, ...]
    rest: int | None
    opens_rest: bool


@lru_cache(maxsize=256)
def _chances(pattern: Pattern, layers: tuple[str, ...]) -> tuple[_Chance, ...]:
    shown = {(sign.feature, sign.at) for sign in sign_set(pattern, layers)}
    rests = [n for bar in notes(pattern) for n in bar if n.stroke is None] if "staff" in layers else []
    covering: dict[int, int] = {}
    for number, rest in enumerate(rests):
        for place in pattern.places:
            if rest.at <= place.at < rest.at + rest.length:
                covering[place.index] = number
    chances = []
    opened: set[int | None] = {None}
    for place in pattern.places:
        onset = place_feature(pattern, place)
        number_here = covering.get(place.index)
        silence = () if place.struck else tuple(f for f in ("tie", "skip") if (f, place.at) in shown)
        chances.append(_Chance(onset, _shown(onset, layers), silence, number_here, number_here not in opened))
        opened.add(number_here)
    return tuple(chances)


def _stroke(
    shown: set[str], place: Place, chance: _Chance, wrong: frozenset[str], accents_judged: bool
) -> Iterator[Evidence]:
    if chance.onset_shown:
        yield _said(chance.onset, "left out" not in wrong)
    if "left out" in wrong:
        return
    if _shown("mute", shown):
        yield from _marked("mute", place.slot.muted, wrong)
    if accents_judged and _shown("accent", shown):
        yield from _marked("accent", place.slot.accent, wrong)
    if HAND_LAYERS & shown and has_hand_rule(place.number, place.of):
        against = place.slot.hand != natural_hand(place.number, place.of)
        if against or "wrong hand" in wrong:
            yield Evidence(("direction",), "wrong hand" not in wrong, 0.0, against)


def _silence(chance: _Chance, wrong: frozenset[str], rest_broken: bool) -> Iterator[Evidence]:
    """A slot that is not struck. A rest is one sign, kept only if all the slots that it covers are."""
    struck = "extra" in wrong
    features = list(chance.silence)
    if chance.rest is not None and (struck or (chance.opens_rest and not rest_broken)):
        features.append("rest")
    if features:
        yield Evidence(in_rank(features), not struck, 0.0, True)
    elif struck and chance.onset_shown:  # within a long note, which is one sign on the shown layers
        yield Evidence((chance.onset,), False, 0.0, False)


def _marked(feature: str, written: bool, wrong: frozenset[str]) -> Iterator[Evidence]:
    """A mark over a stroke: there and read or missed, or not there and read all the same."""
    if written:
        yield _said(feature, f"{feature} missed" not in wrong)
    elif f"{feature} added" in wrong:
        yield Evidence((feature,), False, 0.0, False)


def in_rank(features: Iterable[str]) -> tuple[str, ...]:
    """Features, those that say most first: beats, offbeats and skips stand in every pattern.

    >>> in_rank(["skip", "tie"])
    ('tie', 'skip')
    """
    return tuple(sorted(set(features), key=lambda feature: (feature in BASIC, FEATURES.index(feature))))


def _said(feature: str, correct: bool) -> Evidence:
    return Evidence((feature,), correct, 0.0, True)


def _shown(feature: str, layers: Collection[str]) -> bool:
    return any(layer in layers for layer in FEATURE_TABLE[feature].layers)
