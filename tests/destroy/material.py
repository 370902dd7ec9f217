"""The answers, logs and files that are broken."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from drillapp.records import Answer, FactorAnswer, open_log

NOON = 1_790_000_000.0


def answer(number: int, **changes: Any) -> Answer:
    """The answer number n of one learner; each third is longer than a page of the file."""
    values: dict[str, Any] = {
        "id": f"answer-{number:06}",
        "learner": "ana",
        "session": "s",
        "utc": NOON + 10.0 * number,
        "offset": 120,
        "drill": "page to sound",
        "pattern": "D- DU -U DU",
        "meter": "4/4",
        "tempo": 90,
        "candidates": ("D- DU -U DU", "D- DU DU DU"),
        "pick": 1,
        "written": 0,
        "factors": (FactorAnswer("2", ("tie",), "tied on", "struck", False, 0.5, True),),
        "extra": {} if number % 3 else {"hits": [[0.001 * hit, "down"] for hit in range(700)]},
    }
    return Answer(**{**values, **changes})


def filled(path: Path, numbers: range) -> None:
    """A closed log with these answers."""
    with open_log(path) as log:
        for number in numbers:
            log.append(answer(number))


def ids(path: Path) -> list[str]:
    """The ids of all answers of a log, after it was opened."""
    with open_log(path) as log:
        return [one.id for one in log.answers()]
