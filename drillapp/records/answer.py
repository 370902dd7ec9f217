"""What is recorded with each answer, and the evidence that is derived from it.

Conventions: times are seconds since 1970-01-01 00:00 UTC; `offset` is the local time's lead on UTC in
minutes (Central European summer time is 120); `at` and `swing` are Fractions written as text ("3/2", "2");
tempo is beats a minute; ids are unique everywhere. Values are checked when they are made, so an Answer is
always right; one that is read from the log, where only checked ones go, says so with ``checked``.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import InitVar, dataclass, field, fields, replace
from datetime import date, datetime, timedelta, timezone
from typing import Any

from .limits import check_answer, check_factor, check_keys

HELPED = "helped"
"""The key in ``extra`` of an answer that was given after its signs were looked up."""


def new_id() -> str:
    """An id that no other device will make: 32 hexadecimal digits (RFC 9562, version 4).

    >>> len(new_id())
    32
    """
    return uuid.uuid4().hex


@dataclass(frozen=True)
class FactorAnswer:
    """One factor of a question: a place, the way it was written and the way it was read."""

    at: str
    """The place: a Fraction of a quarter from the pattern's start, as text, such as "3/2"."""
    features: tuple[str, ...]
    """The features that this factor is evidence for."""
    written: str
    """The name of the way that it was written."""
    read: str | None
    """The name of the way that it was read as; None for Not sure."""
    correct: bool
    guess: float
    """The chance of being right by guessing, from 0 to 0.99."""
    present: bool
    """Was the sign in the written pattern?"""
    checked: InitVar[bool] = False

    def __post_init__(self, checked: bool) -> None:
        if checked:
            return
        check_factor(self.__dict__)


@dataclass(frozen=True, kw_only=True)
class Answer:
    """One answer, as it goes into the practice log. Raises ValueError naming the field that is wrong."""

    learner: str
    session: str
    utc: float
    """When it was answered, by the device's clock."""
    offset: int
    drill: str
    pattern: str
    meter: str
    tempo: float
    swing: str | None = None
    layers: tuple[str, ...] = ()
    candidates: tuple[str, ...] = ()
    """The candidates' texts in the order shown."""
    pick: int | None = None
    """Index of the candidate picked; None for Not sure."""
    written: int | None = None
    """Index of the candidate that was written; None in drills without candidates."""
    factors: tuple[FactorAnswer, ...] = ()
    seconds: float = 0.0
    """Time to answer."""
    heard: tuple[int, ...] = ()
    """How often each sound was played."""
    first_seen: bool = False
    """The learner had never met this pattern before."""
    why: str | None = None
    """repair, refresh, reach or fresh: why the plan held this question; None where no plan did."""
    asked: tuple[str, ...] = ()
    """The features that the question was asked for."""
    version: str = ""
    """The app's version."""
    extra: Mapping[str, Any] = field(default_factory=dict, hash=False)
    """What only one drill records, as a JSON object: strum hits, slot results, a dictation."""
    id: str = field(default_factory=new_id)
    settled: float | None = field(default=None, compare=False)
    """The effective time that the log found (see clock.py); None before it was in a log. Not recorded."""
    checked: InitVar[bool] = False

    def __post_init__(self, checked: bool) -> None:
        if checked:
            return
        if not isinstance(self.factors, tuple) or not all(isinstance(f, FactorAnswer) for f in self.factors):
            raise ValueError("factors: must be a tuple of FactorAnswer")
        check_answer(self.__dict__)

    @property
    def when(self) -> float:
        """The time to reckon with, UTC seconds: the log's effective time, else the clock's."""
        return self.utc if self.settled is None else self.settled

    @property
    def local(self) -> datetime:
        """`when` as the learner's own clock and date showed it."""
        return datetime.fromtimestamp(self.when, timezone(timedelta(minutes=self.offset)))

    @property
    def day(self) -> date:
        """The learner's own date."""
        return self.local.date()

    @property
    def helped(self) -> bool:
        """The learner looked up the meaning of a sign while the question waited: no evidence of reading."""
        return bool(self.extra.get(HELPED))

    @property
    def sure(self) -> bool:
        """False for Not sure: there were candidates and none was picked."""
        return self.pick is not None or not self.candidates


TAKEN_BACK = "taken back"
"""The drill of a row that is no answer but voids one."""
VOIDS = "voids"
"""In such a row's ``extra``: the id of the answer that was taken back."""


def taking_back(answer: Answer, utc: float) -> Answer:
    """The row that voids an answer; both stay in the log, and neither counts."""
    return replace(
        answer,
        id=new_id(),
        utc=utc,
        drill=TAKEN_BACK,
        candidates=(),
        pick=None,
        written=None,
        factors=(),
        seconds=0.0,
        heard=(),
        extra={VOIDS: answer.id},
        settled=None,
    )


@dataclass(frozen=True, slots=True)
class Observation:
    """One piece of evidence: a sign read, rightly or not, as derived from an answer."""

    learner: str
    features: tuple[str, ...]
    correct: bool
    guess: float
    present: bool
    first_seen: bool
    time: float
    """When, effective UTC seconds."""
    layers: tuple[str, ...]
    tempo: float
    seconds: float
    """Time to answer."""
    drill: str
    sure: bool
    """False for Not sure."""
    pattern: str = ""
    """The text of the pattern that was read."""


def evidence_of(answer: Answer) -> tuple[Observation, ...]:
    """The evidence in an answer: one observation for each of its factors, none where it was helped."""
    if answer.helped:
        return ()
    return tuple(
        Observation(
            answer.learner,
            factor.features,
            factor.correct,
            factor.guess,
            factor.present,
            answer.first_seen,
            answer.when,
            answer.layers,
            answer.tempo,
            answer.seconds,
            answer.drill,
            answer.sure,
            answer.pattern,
        )
        for factor in answer.factors
    )


_RECORDED = tuple(f.name for f in fields(Answer) if f.name != "settled")
_FACTOR = tuple(f.name for f in fields(FactorAnswer))
_TUPLES = ("layers", "candidates", "heard", "asked")
_KEYS, _FACTOR_KEYS = frozenset(_RECORDED), frozenset(_FACTOR)


def as_dict(answer: Answer) -> dict[str, Any]:
    """The answer as a JSON object, fields in their own order."""
    data = {name: getattr(answer, name) for name in _RECORDED}
    data["factors"] = [{name: getattr(factor, name) for name in _FACTOR} for factor in answer.factors]
    data["extra"] = dict(answer.extra)
    return data


def from_dict(data: Any) -> Answer:
    """The answer of a JSON object from outside. Raises ValueError naming what is wrong."""
    check_keys("an answer", data, _KEYS)
    values = dict(data)
    for name in _TUPLES:
        values[name] = _as_tuple(name, values[name])
    factors = []
    for row in _as_tuple("factors", values["factors"]):
        check_keys("a factor", row, _FACTOR_KEYS)
        factors.append(FactorAnswer(**{**row, "features": _as_tuple("features", row["features"])}))
    return Answer(**{**values, "factors": tuple(factors)})


def check_object(data: Any) -> None:
    """Raises ValueError, as `from_dict` does, where a JSON object is not an answer; makes nothing of it."""
    check_keys("an answer", data, _KEYS)
    if not isinstance(data["factors"], list):
        raise ValueError("factors: must be a list")
    check_answer(data, list)
    for row in data["factors"]:
        check_keys("a factor", row, _FACTOR_KEYS)
        check_factor(row, list)


def from_checked(data: dict[str, Any], settled: float) -> Answer:
    """The answer of a JSON object that `check_object` has passed; several times faster than `from_dict`."""
    for row in data["factors"]:
        row["features"] = tuple(row["features"])
    data["factors"] = tuple(FactorAnswer(**row, checked=True) for row in data["factors"])
    for name in _TUPLES:
        data[name] = tuple(data[name])
    return Answer(**data, settled=settled, checked=True)


def _as_tuple(name: str, value: Any) -> tuple[Any, ...]:
    if not isinstance(value, list):
        raise ValueError(f"{name}: must be a list")
    return tuple(value)
