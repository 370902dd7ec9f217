"""Question and answer: candidate sets, grading, and saying why. Pure."""

from .check import Finding, ReadingCheck
from .dictation import DictationResult, Sheet, WrittenSlot, blank, grade_dictation, ruled
from .ear import heard_apart
from .explain import ADVICE, Explanation, explain, place_name
from .pick import Evidence, NoQuestion, PickQuestion, pick_question
from .strum import VERDICTS, Hit, SlotResult, StrumResult, grade_strum
from .strum_evidence import SignRead

__all__ = [
    "ADVICE",
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
    "WrittenSlot",
    "blank",
    "explain",
    "grade_dictation",
    "grade_strum",
    "heard_apart",
    "pick_question",
    "place_name",
    "ruled",
]
