"""Question and answer: candidate sets, grading, and saying why. Pure."""

from .ear import heard_apart
from .explain import ADVICE, Explanation, explain, place_name
from .pick import Evidence, NoQuestion, PickQuestion, pick_question

__all__ = [
    "ADVICE",
    "Evidence",
    "Explanation",
    "NoQuestion",
    "PickQuestion",
    "explain",
    "heard_apart",
    "pick_question",
    "place_name",
]
