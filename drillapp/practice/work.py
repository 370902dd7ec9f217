"""What a teacher has set for a learner: which piece runs now, and how much of it is done."""

from __future__ import annotations

from datetime import date

from drillapp.records import PracticeLog, SetWork
from drillapp.records.work_rows import WorkDone


def running(log: PracticeLog, learner: str, day: date) -> SetWork | None:
    """The newest piece that is to be done on that day; None where there is none.

    On a tablet that is the desk too, what was set for the learner's student or class holds at once.
    """
    student = log.classes.student_of(learner)
    whose = [learner, *((student.id, *student.joined, student.in_class or "") if student else ())]
    return next((work for work in log.set_work.of(whose) if work.runs(day)), None)


def told_of(log: PracticeLog, learner: str, day: date) -> WorkDone | None:
    """The piece that runs, with what is done of it; None where none does."""
    work = running(log, learner, day)
    return None if work is None else log.set_work.done(work, (learner,), day)
