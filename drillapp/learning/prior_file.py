"""A prior as text, so that what is fitted on one day is used on others.

Conventions: JSON, one object; names as in `Prior` and `Readout`; tables keyed by sets are lists of
[features, effect], a pair is [features before or null, features, effect]. Numbers are written so that they
come back to the last bit.
"""

from __future__ import annotations

import json
import math
from dataclasses import fields
from typing import Any

from drillapp.learning.prior import Prior
from drillapp.learning.readout import CELLS, SLOPES, Key, Readout

FORMAT = "drillapp prior 1"
MOST = 50_000_000
"""Characters above which a text is not read."""
_BOUND = 1e4


def write_prior(prior: Prior) -> str:
    """The text of a prior."""
    data: dict[str, Any] = {"format": FORMAT}
    for one in fields(Prior):
        value = getattr(prior, one.name)
        if one.name == "together":
            value = [[sorted(names), effect] for names, effect in value.items()]
        elif one.name == "readout":
            value = None if value is None else _readout_data(value)
        elif one.name in ("offsets", "gains", "conditions"):
            value = dict(value)
        data[one.name] = value
    return json.dumps(data, indent=1, allow_nan=False)


def read_prior(text: str) -> Prior:
    """The prior of a text. Raises ValueError saying what is wrong with it."""
    if len(text) > MOST:
        raise ValueError(f"a prior of {len(text)} characters is too long; at most {MOST}")
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise ValueError(f"this is no JSON: {error}") from None
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise ValueError(f'a prior is an object with "format": "{FORMAT}"')
    known = {one.name for one in fields(Prior)}
    if strange := sorted(set(data) - known - {"format"}):
        raise ValueError(f"a prior has no {', '.join(strange)}")
    values: dict[str, Any] = {}
    for name in known & set(data):
        value = data[name]
        if name == "together":
            values[name] = {frozenset(_names(name, row[0])): row[1] for row in _rows(name, value, 2)}
        elif name == "readout":
            values[name] = None if value is None else _readout(value)
        elif name in ("offsets", "gains", "conditions"):
            values[name] = _table(name, value)
        elif name in ("rates", "weights"):
            values[name] = _numbers(name, value)
        else:
            values[name] = _number(name, value)
    return Prior(**values)


def _readout_data(readout: Readout) -> dict[str, Any]:
    return {
        "cells": readout.cells,
        "slopes": readout.slopes,
        "sets": [[_list(key), effect] for key, effect in readout.sets.items()],
        "pairs": [
            [None if before is None else _list(before), _list(key), effect]
            for (before, key), effect in readout.pairs.items()
        ],
    }


def _readout(value: Any) -> Readout:
    if not isinstance(value, dict) or set(value) != {"cells", "slopes", "sets", "pairs"}:
        raise ValueError("readout: must be an object with cells, slopes, sets and pairs")
    cells, slopes = _numbers("cells", value["cells"]), _numbers("slopes", value["slopes"])
    if (len(cells), len(slopes)) != (CELLS, SLOPES):
        raise ValueError(f"readout: {CELLS} cells and {SLOPES} slopes, not {len(cells)} and {len(slopes)}")
    sets = {_key("sets", row[0]): row[1] for row in _rows("sets", value["sets"], 2)}
    pairs = {
        (None if row[0] is None else _key("pairs", row[0]), _key("pairs", row[1])): row[2]
        for row in _rows("pairs", value["pairs"], 3)
    }
    return Readout(cells, slopes, sets, pairs)


def _list(key: Key) -> list[str]:
    return [key] if isinstance(key, str) else sorted(key)


def _key(name: str, value: Any) -> Key:
    names = _names(name, value)
    return names[0] if len(names) == 1 else frozenset(names)


def _names(name: str, value: Any) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
        raise ValueError(f"{name}: {value!r} must be a list of features")
    return tuple(value)


def _rows(name: str, value: Any, length: int) -> list[list[Any]]:
    if not isinstance(value, list):
        raise ValueError(f"{name}: must be a list")
    for row in value:
        if not isinstance(row, list) or len(row) != length:
            raise ValueError(f"{name}: {row!r} must be a list of {length}")
        row[-1] = _number(name, row[-1])
    return value


def _table(name: str, value: Any) -> dict[str, float]:
    if not isinstance(value, dict):
        raise ValueError(f"{name}: must be an object")
    return {feature: _number(name, effect) for feature, effect in value.items()}


def _numbers(name: str, value: Any) -> tuple[float, ...]:
    if not isinstance(value, list):
        raise ValueError(f"{name}: must be a list of numbers")
    return tuple(_number(name, one) for one in value)


def _number(name: str, value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{name}: {str(value)[:40]!r} is not a number")
    # Comparing first: a whole number of many digits is no float, and takes long to be shown.
    if abs(value) > (1e12 if name == "form_scale" else _BOUND):
        raise ValueError(f"{name}: a number is out of bounds")
    if not math.isfinite(value):
        raise ValueError(f"{name}: {value!r} is not a number")
    return float(value)
