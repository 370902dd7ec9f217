"""The one check of an answer: what may be written, collected, read from the log and used.

Conventions: values are those of an Answer's fields, from the class itself (tuples) or from a JSON object
(lists). Whatever passes can be used by every room above: times are dates whatever their offset, chances of
guessing are below certainty, texts are text. Every fault is a ValueError that names the field, what it is
and what would be right.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from .lines import compact

LATEST = 253402300799.0 - 86_400
"""The last second of 30 December 9999: a day before the last that a date can name, so that it is one in
every zone."""
MAX_TEXT = 8_000
MAX_TEXTS = 100
MAX_FACTORS = 1_000
MAX_ID = 100
MAX_EXTRA = 200_000
MAX_OFFSET = 1439
"""Minutes: zones are less than a day from UTC (PEP 495 and `datetime.timezone`)."""
MAX_GUESS = 0.99
"""What is right by chance nearly always tells nothing, and dividing by what is left is no number."""
MAX_NUMBER = 2**53 - 1
"""The highest number that every reader of JSON keeps exactly (RFC 8259, section 6)."""
Many = type[tuple[Any, ...]] | type[list[Any]]
_NOT_TEXT = re.compile("[\0\ud800-\udfff]")
_FRACTION = re.compile(r"-?[0-9]{1,12}(/[1-9][0-9]{0,11})?")
_IDS = ("id", "session", "drill", "pattern", "meter")


def check_factor(values: Mapping[str, Any], many: Many = tuple) -> None:
    """Raises ValueError where a factor's values are not right; ``many``: tuple or list, as they are kept."""
    _fraction("at", values["at"])
    _texts("features", values["features"], many)
    _text("written", values["written"])
    if values["read"] is not None:
        _text("read", values["read"])
    _yes_or_no("correct", values["correct"])
    _number("guess", values["guess"], 0, MAX_GUESS)
    _yes_or_no("present", values["present"])


def check_answer(values: Mapping[str, Any], many: Many = tuple) -> None:
    """Raises ValueError where an answer's values, without its factors' own, are not right."""
    for name in _IDS:
        _text(name, values[name])
    if not is_learner_id(values["learner"]):
        raise ValueError(
            f"learner: is {_short(values['learner'])!r}; must be text of 1 to {MAX_ID} printable characters"
        )
    _number("utc", values["utc"], 0, LATEST)
    whole_number("offset", values["offset"], -MAX_OFFSET, MAX_OFFSET)
    _number("tempo", values["tempo"], 1, 1000)
    if values["swing"] is not None:
        _fraction("swing", values["swing"])
    _texts("layers", values["layers"], many)
    _texts("candidates", values["candidates"], many)
    for name in ("pick", "written"):
        if values[name] is not None:
            whole_number(name, values[name], 0, len(values["candidates"]) - 1)
    _number("seconds", values["seconds"], 0, LATEST)
    if not isinstance(values["heard"], many):
        raise ValueError(f"heard: is {values['heard']!r}; must be a tuple of whole numbers")
    if len(values["heard"]) > MAX_TEXTS:
        raise ValueError(f"heard: has {len(values['heard'])} numbers; at most {MAX_TEXTS} are allowed")
    for times in values["heard"]:
        whole_number("heard", times, 0, 1_000_000)
    _yes_or_no("first_seen", values["first_seen"])
    if values["why"] is not None:
        _text("why", values["why"])
    _texts("asked", values["asked"], many)
    _text("version", values["version"], least=0)
    if len(values["factors"]) > MAX_FACTORS:
        raise ValueError(f"factors: there are {len(values['factors'])}; at most {MAX_FACTORS} are allowed")
    _json_object("extra", values["extra"])


def check_keys(what: str, data: Any, names: frozenset[str]) -> None:
    """Raises ValueError where a JSON object has not just these keys."""
    if not isinstance(data, dict):
        raise ValueError(f"{what} must be a JSON object")
    if data.keys() == names:
        return
    missing = [name for name in sorted(names) if name not in data]
    unknown = [name for name in data if name not in names]
    faults = [f"lacks {name}" for name in missing[:3]]
    faults += [f"has an unknown {name[:40]!r}" for name in unknown[:3]]
    raise ValueError(f"{what} {', '.join(faults)}")


def is_learner_id(value: Any) -> bool:
    """Whether it can be the id of a learner."""
    return isinstance(value, str) and 1 <= len(value) <= MAX_ID and value.isprintable()


def whole_number(name: str, value: Any, low: int, high: int) -> None:
    """Raises ValueError where a value is not a whole number from low to high."""
    if not isinstance(value, int) or isinstance(value, bool) or not low <= value <= high:
        raise ValueError(f"{name}: is {_short(value)}; must be a whole number from {low} to {high}")


def _text(name: str, value: Any, least: int = 1) -> None:
    if not isinstance(value, str) or not least <= len(value) <= MAX_TEXT:
        raise ValueError(f"{name}: is {_short(value)!r}; must be text of {least} to {MAX_TEXT} characters")
    if not value.isprintable() and _NOT_TEXT.search(value):
        raise ValueError(f"{name}: holds a character that is not text")


def _texts(name: str, value: Any, many: Many) -> None:
    if not isinstance(value, many) or len(value) > MAX_TEXTS:
        raise ValueError(f"{name}: is {_short(value)!r}; must be a tuple of at most {MAX_TEXTS} texts")
    for item in value:
        _text(name, item)


def _number(name: str, value: Any, low: float, high: float) -> None:
    right = isinstance(value, (int, float)) and not isinstance(value, bool)
    # The comparison is also false for what is not a number; whole numbers of any size compare exactly.
    if not right or not low <= value <= high or not math.isfinite(value):
        raise ValueError(f"{name}: is {_short(value)}; must be a number from {low:g} to {high:g}")


def _yes_or_no(name: str, value: Any) -> None:
    if not isinstance(value, bool):
        raise ValueError(f"{name}: is {_short(value)}; must be True or False")


def _fraction(name: str, value: Any) -> None:
    # Fraction() itself also takes "1e999999999", which fills the memory.
    if not isinstance(value, str) or not _FRACTION.fullmatch(value):
        raise ValueError(f'{name}: is {_short(value)!r}; must be a fraction as text, such as "3/2"')


def _json_object(name: str, value: Any) -> None:
    if value == {}:
        return
    if not isinstance(value, Mapping) or not all(isinstance(key, str) for key in value):
        raise ValueError(f"{name}: must be an object with text keys")
    try:
        length = len(compact(dict(value)))
    except (TypeError, ValueError, RecursionError) as error:
        raise ValueError(f"{name}: holds what JSON cannot ({error})") from None
    if length > MAX_EXTRA:
        raise ValueError(f"{name}: has {length} characters as JSON; at most {MAX_EXTRA} are allowed")


def _short(value: Any) -> str:
    # The text of a whole number of many digits is slow to make, and refused by Python from 4,300 on.
    if isinstance(value, int) and value.bit_length() > 200:
        return "a number of very many digits"
    return str(value)[:40]
