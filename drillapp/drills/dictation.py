"""Write it down: a sheet of slots to fill with what sounds, and grading it slot by slot.

Conventions: a sheet lies on a *ruler*, the same music with its beats divided evenly, so that the empty slots
do not tell where strokes are. An empty slot is not answered, which is not the same as silent.

What is compared is what sounds: a stroke with its mute, accent and hand; a slot in which the chord rings on;
a slot that is silent. Spellings that sound the same are the same (``X-`` and ``X.``, a dash or a rest before
the first stroke), and so are a ringing and a silence too short to tell (``drills.ear``).

Guessing. A tap chooses one of five ways: struck, muted, accented, tied on, silent. Someone who cannot tell
and takes any of them has a sign right with the chance of the ways that hold it over all ways that there were:
a tie or a rest 1 in 5, a skip (tied on or silent) 2 in 5, a stroke 3 in 5; a mute or an accent, of a stroke
that was written, 1 in 3; its hand 1 in 2.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from drillapp.music import REST, RING, Bar, Pattern, Place, Slot, check_layers
from drillapp.music.slot_sheet import CYCLE, STROKES, Sheet
from drillapp.music.slots import has_hand_rule
from drillapp.music.ways import MUTED, RINGING, SILENT, STRUCK

from .ear import SILENCE
from .pick import Evidence
from .slot_evidence import Chance, SignRead, chances, in_rank, is_shown, marks, sign_read
from .verdicts import (
    ACCENT_ADDED,
    ACCENT_MISSED,
    EXTRA,
    LEFT_OUT,
    MUTE_ADDED,
    MUTE_MISSED,
    STROKE_LAYERS,
    WRONG_HAND,
)

SILENCE_MISSED, SILENCE_ADDED, EMPTY = "silence missed", "silence added", "left empty"
#: every verdict on a written slot, in the order in which they are said
WRITTEN_VERDICTS: tuple[str, ...] = (
    LEFT_OUT,
    EXTRA,
    WRONG_HAND,
    MUTE_MISSED,
    MUTE_ADDED,
    ACCENT_MISSED,
    ACCENT_ADDED,
    SILENCE_MISSED,
    SILENCE_ADDED,
    EMPTY,
)

_WAYS = len(CYCLE)
GUESS_SUSTAINED = 1 / _WAYS  # tie or rest
GUESS_SKIP = 2 / _WAYS
GUESS_STROKE = len(STROKES) / _WAYS
GUESS_MARK = 1 / len(STROKES)  # mute or accent of a stroke
GUESS_HAND = 1 / 2


@dataclass(frozen=True)
class WrittenSlot:
    """What is wrong with one written slot (words of WRITTEN_VERDICTS); ``at`` in quarters."""

    at: Fraction
    verdicts: frozenset[str]
    index: int


@dataclass(frozen=True)
class DictationResult:
    """A graded sheet: ``ruler`` is what sounded, ``written`` what was written, on the same slots."""

    ruler: Pattern
    written: Pattern
    slots: tuple[WrittenSlot, ...]
    signs: tuple[SignRead, ...]

    @property
    def evidence(self) -> tuple[Evidence, ...]:
        """What it says about the reading of each sign."""
        return tuple(one.evidence for one in self.signs)

    @property
    def right(self) -> bool:
        return not any(slot.verdicts for slot in self.slots)


@lru_cache(maxsize=64)
def ruled(pattern: Pattern) -> Pattern:
    """The same music on an even ruler: beats that divide alike get the finest division among them.

    Simple beats have two slots at least and compound ones three; a beat in three among beats in two keeps its
    three, and so shows.

    >>> from drillapp.music import parse
    >>> ruled(parse("D DU D X")).text, ruled(parse("D DUDU . DUD")).text
    ('D- DU D- X-', 'D--- DUDU .... DUD')
    """
    by_kind: dict[tuple[bool, bool], int] = {}
    for bar in pattern.bars:
        for number, beat in enumerate(bar):
            kind = _kind(pattern, number, len(beat))
            by_kind[kind] = max(by_kind.get(kind, 3 if kind[1] else 2), len(beat))
    bars: list[Bar] = []
    for bar in pattern.bars:
        beats = []
        for number, beat in enumerate(bar):
            times = by_kind[_kind(pattern, number, len(beat))] // len(beat)
            beats.append(tuple(finer for slot in beat for finer in _split(slot, times)))
        bars.append(tuple(beats))
    return replace(pattern, bars=tuple(bars))


def blank(pattern: Pattern) -> Sheet:
    """An empty sheet for writing down ``pattern``."""
    ruler = ruled(pattern)
    return Sheet(ruler, (None,) * len(ruler.places))


def grade_dictation(
    pattern: Pattern, written: Sheet | Iterable[Slot | None], layers: Iterable[str] = STROKE_LAYERS
) -> DictationResult:
    """What was written right and wrong when ``pattern`` sounded, slot by slot, with evidence for each sign.

    ``written``: a sheet, or a slot (None: left empty) for each place of ``pattern`` or of its ruler;
    ``layers``: those that the sheet is written in. An empty slot is wrong, as Not sure is. Chances of a lucky
    guess: see the head of this module. Swing and meter stand on the sheet, so it says nothing of them. Raises
    ValueError where the number of slots fits neither.

    >>> from drillapp.music import parse
    >>> result = grade_dictation(parse("D- DU -U DU"), blank(parse("D- DU -U DU")).slots)
    >>> result.slots[0].verdicts == frozenset({"left empty"})
    True
    """
    shown = check_layers(layers)
    slots = written.slots if isinstance(written, Sheet) else tuple(written)
    rulers = [one for one in (pattern, ruled(pattern)) if len(one.places) == len(slots)]
    if not rulers:
        raise ValueError(
            f"{len(slots)} slots were written; this pattern has {len(pattern.places)}, "
            f"on its ruler {len(ruled(pattern).places)}"
        )
    ruler = rulers[-1]
    sheet = Sheet(ruler, slots)
    played = _heard(ruler)
    compared = _compared(sheet, played)
    return DictationResult(
        ruler,
        sheet.pattern,
        tuple(
            WrittenSlot(p.at, wrong, p.index) for p, (wrong, _) in zip(ruler.places, compared, strict=True)
        ),
        tuple(_signs(sheet, shown, played, compared)),
    )


def _kind(pattern: Pattern, beat: int, division: int) -> tuple[bool, bool]:
    """Beats of one kind are divided alike: compound or not, in three or in two (one slot is either)."""
    compound = pattern.meter.is_compound(beat)
    return compound, division in (3, 6) or (division == 1 and compound)


def _split(slot: Slot, times: int) -> Iterator[Slot]:
    yield slot
    yield from ((REST if slot.action == "rest" else RING),) * (times - 1)


def _heard(pattern: Pattern) -> tuple[str, ...]:
    """For each slot what is heard: struck, ringing on or silent; short silences are not heard as such."""
    sounds: list[str] = []
    ringing = False
    for place in pattern.places:
        if place.struck:
            ringing = not place.slot.muted
            sounds.append(STRUCK)
        else:
            ringing = ringing and place.slot.action == "ring"
            sounds.append(RINGING if ringing else SILENT)
    for start, end in _silences(sounds):
        after_ringing = start > 0 and not pattern.places[start - 1].slot.muted
        until = pattern.length if end == len(sounds) else pattern.places[end].at
        if after_ringing and pattern.seconds(until) - pattern.seconds(pattern.places[start].at) < SILENCE:
            sounds[start:end] = [RINGING] * (end - start)
    return tuple(sounds)


def _silences(sounds: Sequence[str]) -> Iterator[tuple[int, int]]:
    start = None
    for index, sound in enumerate((*sounds, STRUCK)):
        if sound == SILENT and start is None:
            start = index
        elif sound != SILENT and start is not None:
            yield start, index
            start = None


def _compared(sheet: Sheet, played: Sequence[str]) -> tuple[tuple[frozenset[str], bool], ...]:
    """For each slot what is wrong with it, and whether its ringing or silence could be compared.

    What a slot rings with is compared only where the same stroke came before it in both: a stroke that was
    misread is one mistake, and not as many as it rings on for.
    """
    read = _heard(sheet.pattern)
    found = []
    same = True
    for place, slot, was, reads in zip(sheet.ruler.places, sheet.slots, played, read, strict=True):
        comparable = same
        if slot is None:
            wrong = {EMPTY}
        elif was == STRUCK or reads == STRUCK:
            wrong = set(_compare_strokes(place, slot, was, reads))
        else:
            wrong = {SILENCE_MISSED if was == SILENT else SILENCE_ADDED} if same and was != reads else set()
        if place.struck or reads == STRUCK:
            same = not wrong & {LEFT_OUT, EXTRA, EMPTY, MUTE_MISSED, MUTE_ADDED}
        elif wrong:
            same = False  # silent until the next stroke, and said so once
        found.append((frozenset(wrong), comparable))
    return tuple(found)


def _compare_strokes(place: Place, slot: Slot, was: str, reads: str) -> Iterator[str]:
    if was != STRUCK or reads != STRUCK:
        yield LEFT_OUT if was == STRUCK else EXTRA
        return
    sounded = place.slot
    if slot.hand != sounded.hand and has_hand_rule(place.number, place.of):
        yield WRONG_HAND
    if slot.muted != sounded.muted:
        yield MUTE_MISSED if sounded.muted else MUTE_ADDED
    if slot.accent != sounded.accent:
        yield ACCENT_MISSED if sounded.accent else ACCENT_ADDED


def _signs(
    sheet: Sheet,
    layers: tuple[str, ...],
    played: Sequence[str],
    compared: Sequence[tuple[frozenset[str], bool]],
) -> Iterator[SignRead]:
    given = chances(sheet.ruler, layers)
    sounding = False
    for place, chance, was, (wrong, comparable) in zip(
        sheet.ruler.places, given, played, compared, strict=True
    ):
        way = sheet.way(place.index)
        if place.struck:
            yield from _stroke(place, chance, layers, wrong, way)
        else:
            # A rest is heard where the sound stops, and only there.
            stops = chance.rest is not None and was == SILENT and sounding
            sustained = ["tie"] if "tie" in chance.silence else ["rest"] if stops else []
            yield from _no_stroke(place, chance, layers, wrong, way, sustained if comparable else [])
        sounding = was == RINGING or (place.struck and not place.slot.muted)


def _stroke(
    place: Place, chance: Chance, layers: tuple[str, ...], wrong: frozenset[str], way: str | None
) -> Iterator[SignRead]:
    missed = wrong & {LEFT_OUT, EMPTY}
    written = MUTED if place.slot.muted else STRUCK
    if chance.onset_shown:
        yield sign_read(place, [chance.onset], written, way if missed else written, GUESS_STROKE)
    if not missed:
        yield from marks(place, layers, wrong, GUESS_MARK, GUESS_HAND)


def _no_stroke(
    place: Place,
    chance: Chance,
    layers: tuple[str, ...],
    wrong: frozenset[str],
    way: str | None,
    sustained: list[str],
) -> Iterator[SignRead]:
    """A slot that was not struck: was it written so, and was its ringing or silence?"""
    sounded = SILENT if "rest" in sustained else RINGING
    features = in_rank([*sustained, *(["skip"] if "skip" in chance.silence else [])])
    if wrong & {SILENCE_MISSED, SILENCE_ADDED}:
        if sustained:
            yield sign_read(place, sustained, sounded, way, GUESS_SUSTAINED)
            return
        if SILENCE_ADDED in wrong and is_shown("rest", layers):
            yield sign_read(place, ["rest"], sounded, way, GUESS_SUSTAINED, False)
    read = way if wrong & {EXTRA, EMPTY} else sounded
    if features:
        yield sign_read(place, features, sounded, read, GUESS_SUSTAINED if sustained else GUESS_SKIP)
    elif EXTRA in wrong and chance.onset_shown:
        yield sign_read(place, [chance.onset], sounded, way, GUESS_STROKE, False)
