"""Strum it: play the page on the strum field."""

from __future__ import annotations

from dataclasses import dataclass

from drillapp.drills.slot_evidence import SignRead, strum_signs
from drillapp.drills.strum.grade import Hit, grade_strum
from drillapp.drills.tasks import Task
from drillapp.drills.verdicts import VERDICTS
from drillapp.music import FEATURE_TABLE, Pattern

from .by_hand import SlotBySlot, not_read, slots_recorded, whole_pages
from .kind import LOOK_A_BAR, Graded, InCheck, Kind, Recorded, sounding

NOT_BY_HAND = frozenset(name for name, row in FEATURE_TABLE.items() if not row.by_hand)


@dataclass(frozen=True)
class Performance:
    """The strokes of a take, in seconds from the first beat; the page was played ``times`` times through."""

    hits: tuple[Hit, ...]
    times: int = 1


def _grade(task: Task[None], given: Performance | None, tempo: float) -> Graded:
    """What was played; a take that cannot be scored is set aside."""
    if given is None:
        return not_read(task)
    result = grade_strum(task.pattern, tempo, given.hits, task.layers, given.times)
    detail = SlotBySlot(task.pattern, result.slots, VERDICTS, played=result, hits=given.hits)
    if not result.scored:
        return Graded(False, detail=detail, set_aside=result.kind)
    extra = {
        "times": given.times,
        "hits": [[round(hit.time, 4), hit.hand, hit.muted, round(hit.force, 3)] for hit in given.hits],
        "slots": slots_recorded(result.slots),
        "lead": round(result.lead, 4),
        "drift": round(result.drift, 4),
        "steadiness": round(result.steadiness, 4),
    }
    return Graded(result.right, result.signs, detail, Recorded(extra=extra))


def _nothing(task: Task[None]) -> tuple[Pattern, ...]:
    return ()


def _seconds(pattern: Pattern, tempo: float) -> float:
    return LOOK_A_BAR * len(pattern.bars) + sounding(pattern, tempo)


def _signs(pattern: Pattern, layers: tuple[str, ...]) -> tuple[SignRead, ...]:
    right = (frozenset[str](),) * len(pattern.places)
    muted = [place.slot.muted for place in pattern.places]
    return strum_signs(pattern, layers, right, muted, swing=pattern.swing is not None)


STRUM_IT: Kind[None, Performance] = Kind(
    name="strum_it",
    title="Strum it",
    about="play the page",
    screen="strum",
    shows="hand_result",
    from_page=True,
    needs_ear=False,
    make=whole_pages,
    sounds=_nothing,
    grade=_grade,
    seconds=_seconds,
    cannot_ask=NOT_BY_HAND,
    check=InCheck(1, _signs),
)
