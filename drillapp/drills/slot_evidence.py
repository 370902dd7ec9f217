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
from fractions import Fraction
from functools import lru_cache

from drillapp.music import FEATURE_TABLE, FEATURES, Pattern, Place, notes, place_feature
from drillapp.music.features import sign_set
from drillapp.music.slots import has_hand_rule, natural_hand
from drillapp.music.ways import ACCENTED, EVEN, MUTED, NOT_STRUCK, PLAIN, RINGING, SILENT, STRUCK, SWUNG

from .pick import BASIC, Evidence

HAND_LAYERS = frozenset(FEATURE_TABLE["direction"].layers)


@dataclass(frozen=True)
class SignRead:
    """One sign at ``at`` (quarters): the way it was written and the way it was read (None: not answered)."""

    at: Fraction
    written: str
    read: str | None
    evidence: Evidence


def sign_read(
    place: Place,
    features: Sequence[str],
    written: str,
    read: str | None,
    guess: float = 0.0,
    present: bool = True,
) -> SignRead:
    """A sign that is read right if it was read as written."""
    return SignRead(place.at, written, read, Evidence(tuple(features), read == written, guess, present))


@dataclass(frozen=True)
class Chance:
    """What one slot gives to read: where it falls; the signs of its silence; its rest, and if it opens it."""

    onset: str
    onset_shown: bool
    silence: tuple[str, ...]
    rest: int | None
    opens_rest: bool


@lru_cache(maxsize=256)
def chances(pattern: Pattern, layers: tuple[str, ...]) -> tuple[Chance, ...]:
    """What each slot of the pattern gives to read on these layers."""
    shown = {(sign.feature, sign.at) for sign in sign_set(pattern, layers)}
    rests = [n for bar in notes(pattern) for n in bar if n.stroke is None] if "staff" in layers else []
    covering: dict[int, int] = {}
    for number, rest in enumerate(rests):
        for place in pattern.places:
            if rest.at <= place.at < rest.at + rest.length:
                covering[place.index] = number
    found: list[Chance] = []
    opened: set[int | None] = {None}
    for place in pattern.places:
        onset = place_feature(pattern, place)
        here = covering.get(place.index)
        silence = () if place.struck else tuple(f for f in ("tie", "skip") if (f, place.at) in shown)
        found.append(Chance(onset, is_shown(onset, layers), silence, here, here not in opened))
        opened.add(here)
    return tuple(found)


def strum_signs(
    pattern: Pattern,
    layers: tuple[str, ...],
    verdicts: Sequence[frozenset[str]],
    muted: Sequence[bool],
    accents_judged: bool = True,
    swing: bool | None = None,
) -> tuple[SignRead, ...]:
    """The signs of a strummed pattern as they were read, in the order of its slots.

    ``verdicts``: for each slot what was wrong with it; ``muted``: whether its stroke was; ``accents_judged``:
    whether accents could be told; ``swing``: whether it was played swung, None where it could not be told.
    """
    shown = set(layers)
    found: list[SignRead] = []
    given = chances(pattern, layers)
    broken = {c.rest for c, wrong in zip(given, verdicts, strict=True) if "extra" in wrong}
    for place, chance, wrong, damped in zip(pattern.places, given, verdicts, muted, strict=True):
        if place.struck:
            found.extend(_stroke(shown, place, chance, wrong, accents_judged))
        else:
            sounded = (MUTED if damped else STRUCK) if "extra" in wrong else None
            found.extend(_silence(place, chance, sounded, chance.rest in broken))
    if swing is not None and (swing or pattern.swing) and "staff" in shown:
        swings = pattern.swing is not None
        written, read = (SWUNG if one else EVEN for one in (swings, swing))
        found.append(sign_read(pattern.places[0], ["swing"], written, read, present=swings))
    return tuple(found)


def _stroke(
    shown: set[str], place: Place, chance: Chance, wrong: frozenset[str], accents_judged: bool
) -> Iterator[SignRead]:
    left_out = "left out" in wrong
    if chance.onset_shown:
        written = MUTED if place.slot.muted else STRUCK
        yield sign_read(place, [chance.onset], written, NOT_STRUCK if left_out else written)
    if not left_out:
        yield from marks(place, shown, wrong, accents=accents_judged)


def marks(
    place: Place,
    shown: Collection[str],
    wrong: frozenset[str],
    guess: float = 0.0,
    hand_guess: float = 0.0,
    accents: bool = True,
) -> Iterator[SignRead]:
    """Mute, accent and direction of a stroke that was made, where one was written or read."""
    slot = place.slot
    asked = [("mute", slot.muted, (STRUCK, MUTED)), ("accent", slot.accent, (PLAIN, ACCENTED))]
    for feature, written, ways in asked[: 2 if accents else 1]:
        read = written != bool(wrong & {f"{feature} missed", f"{feature} added"})
        if is_shown(feature, shown) and (written or read):
            yield sign_read(place, [feature], ways[written], ways[read], guess, written)
    if slot.hand is not None and has_hand_rule(place.number, place.of) and HAND_LAYERS & set(shown):
        against = slot.hand != natural_hand(place.number, place.of)
        turned = "wrong hand" in wrong
        if against or turned:
            other = "up" if slot.hand == "down" else "down"
            read_as = other if turned else slot.hand
            yield sign_read(place, ["direction"], slot.hand, read_as, hand_guess, against)


def _silence(place: Place, chance: Chance, sounded: str | None, rest_broken: bool) -> Iterator[SignRead]:
    """A slot that is not struck. A rest is one sign, kept only if all the slots that it covers are."""
    written = RINGING if place.slot.action == "ring" else SILENT
    features = list(chance.silence)
    if chance.rest is not None and (sounded or (chance.opens_rest and not rest_broken)):
        features.append("rest")
    if features:
        yield sign_read(place, in_rank(features), written, sounded or written)
    elif sounded and chance.onset_shown:  # within a long note, which is one sign on the shown layers
        yield sign_read(place, [chance.onset], written, sounded, present=False)


def in_rank(features: Iterable[str]) -> tuple[str, ...]:
    """Features, those that say most first: beats, offbeats and skips stand in every pattern.

    >>> in_rank(["skip", "tie"])
    ('tie', 'skip')
    """
    return tuple(sorted(set(features), key=lambda feature: (feature in BASIC, FEATURES.index(feature))))


def is_shown(feature: str, layers: Collection[str]) -> bool:
    """Whether some of the layers show signs of this feature."""
    return any(layer in layers for layer in FEATURE_TABLE[feature].layers)
