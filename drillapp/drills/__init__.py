"""Question and answer: candidate sets, grading, and saying why. Pure.

Floor 2.
"""

from drillapp.drills.strum.grade import Hit, SlotResult, StrumResult, grade_strum
from drillapp.music.slot_sheet import Sheet

from .check import Finding, ReadingCheck
from .dictation import DictationResult, WrittenSlot, blank, grade_dictation, ruled
from .ear import heard_apart
from .explain import Explanation, Told, explain
from .pick import Evidence, NoQuestion, PickQuestion, pick_question
from .slot_evidence import SignRead
from .verdicts import VERDICTS

__all__ = [
    "VERDICTS",
    "DictationResult",
    "Evidence",
    "Explanation",
    "Finding",
    "Hit",
    "NoQuestion",
    "PickQuestion",
    "ReadingCheck",
    "Sheet",
    "SignRead",
    "SlotResult",
    "StrumResult",
    "Told",
    "WrittenSlot",
    "blank",
    "explain",
    "grade_dictation",
    "grade_strum",
    "heard_apart",
    "pick_question",
    "ruled",
]
