"""Sound to page: hear the sound, choose the page."""

from __future__ import annotations

from drillapp.drills.pick import PickQuestion
from drillapp.drills.tasks import Task
from drillapp.music import Pattern

from .kind import HEARINGS, LOOK_A_BAR, Kind, sounding
from .picked import grade_pick, sets


def _written(task: Task[PickQuestion]) -> tuple[Pattern, ...]:
    return (task.pattern,)


def _candidates(task: Task[PickQuestion]) -> tuple[Pattern, ...]:
    return task.question.candidates


def _seconds(pattern: Pattern, tempo: float) -> float:
    return LOOK_A_BAR * len(pattern.bars) + HEARINGS * sounding(pattern, tempo)


SOUND_TO_PAGE: Kind[PickQuestion, int] = Kind(
    name="sound_to_page",
    title="Sound to page",
    about="hear it, choose the page",
    screen="drill",
    shows="answer",
    from_page=False,
    needs_ear=True,
    make=sets,
    sounds=_written,
    pages=_candidates,
    grade=grade_pick,
    seconds=_seconds,
    usual=True,
)
