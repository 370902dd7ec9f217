"""Which signs a student, or some of many students, surely misread: ``learning.diagnose`` at a stated rate.

Conventions: ERROR_RATE is the chance that anything is named falsely over all that is looked at: all signs of
one student, or all signs of all students of a class. For a class it is shared out by Holm's steps (Holm
1979): each student is judged at the rate over their number; whoever is named leaves, and the rest are judged
at the rate over the number of the rest, until nobody more is named.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from drillapp.learning.diagnosis import USUAL_LEVEL, WEAK_CHANCE, Diagnosis, Evidences

from .counts import Counts

ERROR_RATE = 0.05


@dataclass(frozen=True)
class _Alike:
    """Reads that came out alike."""

    features: tuple[str, ...]
    guess: float
    correct: bool


def evidence_in(counts: Counts, level: float = USUAL_LEVEL) -> Evidences:
    """What the diagnosis is made from; ``level``: the student's accuracy where the memory tells it."""
    alike: Counter[tuple[tuple[str, ...], float, bool]] = Counter()
    for (_, features, guess, _, _, right), number in counts.reads.items():
        alike[features, guess, right] += number
    table = Evidences((), level)
    for (features, guess, right), number in sorted(alike.items()):
        table.add(_Alike(features, guess, right), number)
    return table


def find_weak(counts: Counts, error_rate: float = ERROR_RATE, level: float = USUAL_LEVEL) -> Diagnosis:
    """The weak signs of one student who is looked at alone."""
    return evidence_in(counts, level).judge(error_rate)


def find_weak_in_class(
    students: Mapping[str, Counts], error_rate: float = ERROR_RATE
) -> dict[str, Diagnosis]:
    """The weak signs of each student, so that over the whole class a false name comes at that rate."""
    evidence = {student: evidence_in(one) for student, one in students.items()}
    found: dict[str, Diagnosis] = {}
    waiting = list(evidence)
    while waiting:
        judged = {one: evidence[one].judge(error_rate / len(waiting)) for one in waiting}
        named = [one for one in waiting if judged[one].weak]
        found.update({one: judged[one] for one in named} if named else judged)
        waiting = [one for one in waiting if one not in found]
    return {student: found[student] for student in students}


def missing(diagnosis: Diagnosis) -> dict[str, int]:
    """About how many more reads would tell, by sign: of those that look weak and are not named yet."""
    return {
        one.feature: one.needed
        for one in diagnosis.suspects
        if one.needed and one.chance > WEAK_CHANCE and one.feature not in diagnosis.weak
    }
