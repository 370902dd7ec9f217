"""Set work: what a teacher asks a student or a class to practise until a date; its form as one JSON file.

    {"drillapp": "set work", "schema": 1, "id": "...", "for": "Tuesday group", "made": 1790000000.0,
     "until": "2026-12-01", "minutes": 10, "decks": ["folk"], "signs": ["tie", "rest"],
     "layers": ["staff"], "pace": 0.8, "note": "Slowly, please."}

Conventions: minutes are a day's; pace is against the pattern's own tempo, None where the learner's own
holds; no decks, signs or layers stand for the learner's own. Reading trusts nothing: a file has at most
MOST_BYTES, every value is checked, and what is not known here is refused with its name and what would be
right.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from drillapp.files.reading import NotPlain, TooLarge, read_bounded
from drillapp.files.writing import write_whole
from drillapp.music import FEATURES, LAYERS

from .answer import new_id
from .learner_line import LONGEST_NAME
from .limits import LATEST
from .lines import read_json

SCHEMA = 1
ENDING = ".setwork"
MOST_BYTES = 64 * 1024
MOST_DECKS = 50
LONGEST_NOTE = 500
FEWEST_MINUTES, MOST_MINUTES = 2, 60
SLOWEST_PACE, FASTEST_PACE = 0.5, 1.5
SET_WORK = "set work"
"""The key in ``extra`` of an answer that was given for a piece of set work; its value is the work's id."""
_KEYS = {
    "drillapp", "schema", "id", "for", "made", "until", "minutes", "decks", "signs", "layers", "pace", "note",
}  # fmt: skip


class SetWorkError(ValueError):
    """Set work that cannot be used; why, in a sentence, with a code and the values in it by name."""

    def __init__(self, message: str, *, code: str, places: Mapping[str, object] | None = None) -> None:
        super().__init__(message)
        self.message, self.code, self.places = message, code, dict(places or {})


@dataclass(frozen=True)
class SetWork:
    """One piece of set work. Raises ValueError naming what is wrong and what would be right."""

    whose: str
    """For whom, as people read it: a class's or a student's name."""
    made: float
    until: date
    minutes: int | None = None
    decks: tuple[str, ...] = ()
    signs: tuple[str, ...] = ()
    layers: tuple[str, ...] = ()
    pace: float | None = None
    note: str = ""
    id: str = field(default_factory=new_id)

    def __post_init__(self) -> None:
        _text("for", self.whose, 1, LONGEST_NAME)
        _text("id", self.id, 1, 100)
        _text("note", self.note, 0, LONGEST_NOTE)
        _number("made", self.made, 0, LATEST)
        if self.minutes is not None:
            _number("minutes", self.minutes, FEWEST_MINUTES, MOST_MINUTES)
            if not isinstance(self.minutes, int):
                raise ValueError(f"minutes is {self.minutes!r}; it is a whole number")
        if self.pace is not None:
            _number("pace", self.pace, SLOWEST_PACE, FASTEST_PACE)
        _names("signs", self.signs, FEATURES)
        _names("layers", self.layers, LAYERS)
        if len(self.decks) > MOST_DECKS or len(set(self.decks)) < len(self.decks):
            raise ValueError(f"decks names at most {MOST_DECKS} decks, each once")
        for deck in self.decks:
            _text("decks", deck, 1, 200)

    def runs(self, day: date) -> bool:
        """Whether it is to be done on that day."""
        return day <= self.until


def work_text(work: SetWork) -> str:
    """The piece as the text of its file."""
    return json.dumps(
        {
            "drillapp": SET_WORK,
            "schema": SCHEMA,
            "id": work.id,
            "for": work.whose,
            "made": work.made,
            "until": work.until.isoformat(),
            "minutes": work.minutes,
            "decks": list(work.decks),
            "signs": list(work.signs),
            "layers": list(work.layers),
            "pace": work.pace,
            "note": work.note,
        },
        ensure_ascii=False,
        indent=1,
    )


def write_work(work: SetWork, path: Path) -> None:
    """Write it as a file, whole or not at all. Raises SetWorkError where the place cannot be written."""
    try:
        write_whole(path, (work_text(work) + "\n").encode())
    except OSError as error:
        reason = error.strerror or error
        raise SetWorkError(
            f"{path}: cannot be written ({reason}). Choose a folder that can be written to.",
            code="set-work-not-written",
            places={"path": path, "reason": reason},
        ) from error


def open_work(path: Path) -> SetWork:
    """The piece in a file from outside. Raises SetWorkError with the file, what is wrong and what to do."""
    try:
        data = read_bounded(path, MOST_BYTES)
    except (NotPlain, TooLarge, OSError) as error:
        reason = error.strerror or error
        raise SetWorkError(
            f"{path}: cannot be read as set work ({reason}). Ask for the file again.",
            code="set-work-unreadable",
            places={"path": path, "reason": reason},
        ) from error
    try:
        return read_work(data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise SetWorkError(
            f"{path}: is no set work: byte {error.start + 1} is not UTF-8. Ask for the file again.",
            code="set-work-not-text",
            places={"path": path, "byte": error.start + 1},
        ) from error
    except SetWorkError as error:
        raise SetWorkError(
            f"{path}: {error.message} Ask for the file again.",
            code="set-work-file",
            places={"path": path, "fault": error.message},
        ) from error


def read_work(text: Any) -> SetWork:
    """The piece that a text says. Raises SetWorkError."""
    try:
        if not isinstance(text, str):
            raise ValueError("it is no text")
        return _work(read_json(text))
    except ValueError as error:
        raise SetWorkError(
            f"This is no set work that can be used: {error}.", code="set-work-fault", places={"fault": error}
        ) from error


def _work(data: dict[str, Any]) -> SetWork:
    if data.get("drillapp") != SET_WORK:
        raise ValueError("it is a file of another kind")
    version = data.get("schema")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise ValueError("it has no schema version")
    if version > SCHEMA:
        raise ValueError(f"a newer drillapp made it (schema {version}; this one reads up to {SCHEMA})")
    if set(data) != _KEYS:
        missing, unknown = sorted(_KEYS - set(data)), sorted(set(data) - _KEYS)
        raise ValueError(f"it lacks {missing[0]}" if missing else f"{unknown[0][:40]!r} is not part of it")
    try:
        until = date.fromisoformat(data["until"])
    except (TypeError, ValueError):
        raise ValueError(f"until is {str(data['until'])[:40]!r}; a date is written as 2026-12-01") from None
    return SetWork(
        data["for"],
        data["made"],
        until,
        data["minutes"],
        _tuple("decks", data["decks"]),
        _tuple("signs", data["signs"]),
        _tuple("layers", data["layers"]),
        data["pace"],
        data["note"],
        data["id"],
    )


def _tuple(name: str, value: Any) -> tuple[Any, ...]:
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        raise ValueError(f"{name} is a list of names")
    return tuple(value)


def _text(name: str, value: Any, least: int, most: int) -> None:
    if not isinstance(value, str) or not least <= len(value) <= most or not value.isprintable():
        raise ValueError(f"{name} is {str(value)[:40]!r}; it is a line of {least} to {most} characters")


def _number(name: str, value: Any, low: float, high: float) -> None:
    right = isinstance(value, (int, float)) and not isinstance(value, bool)
    if not right or not low <= value <= high or not math.isfinite(value):
        raise ValueError(f"{name} is {str(value)[:40]}; it is a number from {low:g} to {high:g}")


def _names(name: str, values: tuple[str, ...], known: tuple[str, ...]) -> None:
    for value in values:
        if value not in known:
            raise ValueError(f"{name}: {value[:40]!r} is not known; choose from {', '.join(known)}")
    if len(set(values)) < len(values):
        raise ValueError(f"{name} names one twice")
