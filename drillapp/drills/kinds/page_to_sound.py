"""Page to sound: see the page, choose the sound."""

from __future__ import annotations

from drillapp.drills.pick import PickQuestion
from drillapp.drills.tasks import Task
from drillapp.music import Pattern

from .kind import LOOK_A_BAR, Kind, sounding
from .picked import grade_pick, sets

_HEARD = 2  # candidates that are heard before one is picked, at the least


def _candidates(task: Task[PickQuestion]) -> tuple[Pattern, ...]:
    return task.question.candidates


def _seconds(pattern: Pattern, tempo: float) -> float:
    return LOOK_A_BAR * len(pattern.bars) + _HEARD * sounding(pattern, tempo)


PAGE_TO_SOUND: Kind[PickQuestion, int] = Kind(
    name="page_to_sound",
    title="Page to sound",
    about="see it, choose the sound",
    screen="drill",
    shows="answer",
    from_page=True,
    needs_ear=True,
    make=sets,
    sounds=_candidates,
    grade=grade_pick,
    seconds=_seconds,
    usual=True,
)
